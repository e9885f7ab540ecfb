import { expect, test } from 'vitest';
import { advanceAtSpeed } from '../../core/mechanism';
import { practiceMechanism } from '../../core/practice/practice-distributor';
import { PRACTICE_GOAL, PRACTICE_STEPS, PRACTICE_TARGET } from '../../core/practice/practice-job';
import { stepSpeeds } from '../../core/steps';
import { targetAt } from '../../core/target';
import { type GuideFacts, guideSteps } from '../../web/guide/guide-steps';
import { EARLIER, RUN } from '../browser/harness/scenario';

const FOUND = { springsId: 'heavy', stopId: 'short', housingDeg: 8 };
const NOTHING: GuideFacts = {
  ...{ job: { runs: [] }, run: null, bench: null, pinned: false, helped: false, saved: false },
  hold: { stepRpm: 950, steady: false, stepsDone: 0, stepsAll: 14 },
  ...{ seen: [], looked: null },
};
/** The step to do, by its title; the sentence, the control. */
const now = (facts: Partial<GuideFacts>) => guideSteps({ ...NOTHING, ...facts }).find(({ done }) => !done);
const open = { ...RUN, id: 'open', readings: [] };

test('the first step is the target, until it has been on the screen and left again', () => {
  expect(now({})?.at).toBe('target');
  expect(now({ looked: 'target' })?.at).toBe('view run');
  expect(now({ seen: ['target'] })?.at).toBe('start-practice');
});

test('a run is asked for once the practice engine runs, and the engine again if it stops', () => {
  expect(now({ seen: ['target'], bench: FOUND })?.at).toBe('start-run');
  expect(now({ seen: ['target'], run: open, job: { runs: [open] } })?.at).toBe('start-practice');
});

test('a reading goes by the helper, the steady tape, the pin, the pad: each by what is measured', () => {
  const facts = { seen: ['target'], bench: FOUND, run: open, job: { runs: [open] } } as const;
  expect(now(facts)?.at).toBe('hold');
  expect(now({ ...facts, helped: true })?.at).toBe('tape');
  const hold = { ...NOTHING.hold, steady: true };
  expect(now({ ...facts, helped: true, hold })?.at).toBe('pin');
  expect(now({ ...facts, helped: true, hold, pinned: true })?.at).toBe('pad');
});

test('the run is to be ended only when every step has its reading', () => {
  const run = { ...open, readings: RUN.readings };
  const facts = { seen: ['target'], bench: FOUND, run, job: { runs: [run] } } as const;
  expect(now(facts)?.title).toBe('Rising speeds: 0 of 14 read');
  expect(now({ ...facts, hold: { ...NOTHING.hold, stepRpm: null } })?.at).toBe('end-run');
});

test('a run of too few readings for a curve counts as none', () => {
  const few = { ...RUN, readings: RUN.readings.slice(0, 4) };
  expect(now({ seen: ['target'], bench: FOUND, job: { runs: [few] } })?.at).toBe('start-run');
});

test('springs, stop and housing are asked for one after the other, and ticked by what is fitted', () => {
  const facts = { seen: ['target', 'corners', 'work'], job: { runs: [RUN] } } as const;
  expect(now({ ...facts, bench: FOUND })?.at).toBe('springs parts');
  expect(now({ ...facts, bench: { ...FOUND, springsId: 'middle' } })?.at).toBe('stop parts');
  const fitted = { springsId: 'middle', stopId: 'middle' };
  expect(now({ ...facts, bench: { ...fitted, housingDeg: 8 } })?.at).toBe('housing parts');
  expect(now({ ...facts, bench: { ...fitted, housingDeg: 13.5 } })?.title).toBe('Another run');
});

test('two whole runs are compared, then the file is saved, and then nothing is left to do', () => {
  const facts = { seen: ['target', 'corners', 'work'], job: { runs: [EARLIER, RUN] } } as const;
  expect(now(facts)?.at).toBe('side-by-side');
  const seen = [...facts.seen, 'side-by-side'] as const;
  expect(now({ ...facts, seen })?.at).toBe('save-job');
  expect(now({ ...facts, seen, saved: true })).toBeUndefined();
});

test('each sentence is short enough for the strip on a phone: four lines of some 38 letters', () => {
  for (const looked of [null, 'target', 'corners', 'work', 'side-by-side'] as const)
    for (const bench of [null, FOUND])
      for (const { say } of guideSteps({ ...NOTHING, looked, bench })) expect(say.length).toBeLessThan(140);
});

test('the practice target is what the parts asked for give, to within its band', () => {
  const mechanism = practiceMechanism(PRACTICE_GOAL.springsId, PRACTICE_GOAL.stopId);
  const offDeg = stepSpeeds(PRACTICE_STEPS).map((rpm) =>
    Math.abs(PRACTICE_GOAL.housingDeg + advanceAtSpeed(mechanism, rpm) - targetAt(PRACTICE_TARGET, rpm)),
  );
  expect(Math.max(...offDeg)).toBeLessThan(PRACTICE_TARGET.bandDeg);
});
