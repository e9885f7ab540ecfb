/** Several runs on the practice engine with parts changed between, as its bench and the Parts view go: each time the
 * first of the search is fitted, the housing set as forecast, and the run that follows compared with its forecast. The
 * truth is the bench's own mechanism, read as a person reads a light. */
import { beforeAll, expect, test } from 'vitest';
import type { Job, Run } from '../../core/job';
import { advanceAtSpeed } from '../../core/mechanism';
import { BY_LIGHT, newJob, NOTHING_NOTED } from '../../core/new-job';
import { practiceMechanism } from '../../core/practice/practice-distributor';
import { onTheBench, PRACTICE_PARTS, practiceFitted } from '../../core/practice/practice-parts';
import { createRandom } from '../../dsp/maker/random';
import { ForecastBench } from '../../web/forecast/forecast-bench';
import type { RankedView } from '../../web/forecast/forecast-api';

/** What the middle pair with the long stop gives from 10 degrees on: never run before the search finds it. */
const WANTED = { springsId: 'middle', stopId: 'long', housingDeg: 10 };

interface Fitted {
  readonly springsId: string;
  readonly stopId: string;
  readonly housingDeg: number;
}
const advanceOn = ({ springsId, stopId, housingDeg }: Fitted, rpm: number): number =>
  housingDeg + advanceAtSpeed(practiceMechanism(springsId, stopId), rpm);

const TARGET = {
  corners: Array.from({ length: 14 }, (_, i) => {
    const rpm = 700 + 250 * i;
    return { rpm, advanceDeg: advanceOn(WANTED, rpm) };
  }),
  bandDeg: 2,
};

let job: Job = {
  ...newJob({ id: 'j', name: 'Practice', createdAt: '2026-05-01T18:00:00Z' }),
  ...{ parts: PRACTICE_PARTS, target: TARGET },
};

/** 16 readings from below the start to past the all-in, off by 0.6 degrees as an eye is. */
function run(fitted: Fitted): void {
  const day = job.runs.length + 1;
  const eye = createRandom(day, 77);
  const at = `2026-05-0${day}T18:00:00Z`;
  const setUpId = `s${day}`;
  const setUp = { id: setUpId, ...practiceFitted(fitted.springsId, fitted.stopId), notes: '' };
  const taken = { at, timeS: null, rpmSd: null, steady: null, stepRpm: null, note: '', ...BY_LIGHT };
  const made: Run = {
    ...{ id: `run-${day}`, setUpId, startedAt: at, source: 'practice engine', trace: null },
    ...NOTHING_NOTED,
    corrections: job.corrections,
    readings: Array.from({ length: 16 }, (_, i) => {
      const rpm = 600 + 240 * i + 10 * eye.normal();
      return {
        ...{ id: `${day}-${i}`, rpm, ...taken },
        seenDeg: advanceOn(fitted, rpm) + 0.6 * eye.normal(),
      };
    }),
  };
  job = {
    ...job,
    setUps: [...job.setUps, { ...setUp, vacuumLine: 'none' }],
    runs: [...job.runs, made],
  };
}

const bench = new ForecastBench();
function searched(): readonly RankedView[] {
  bench.open(job);
  let found = bench.search();
  while (found.done < found.all) found = bench.searchOn();
  return found.ranked;
}
/** What the search puts first, as the bench takes it over: its parts, and the housing to the half degree; it stays
 * where the initial is not seen. */
function firstOf(ranked: readonly RankedView[], was: Fitted): Fitted {
  const view = bench.forecast(ranked[0]!.pick, 'target');
  const initial = view.initialDeg?.value ?? null;
  return {
    ...onTheBench(ranked[0]!.pick)!,
    housingDeg: initial === null ? was.housingDeg : Math.round(2 * initial) / 2,
  };
}

const firsts: RankedView[] = [];
const shown: (readonly RankedView[])[] = [];
beforeAll(() => {
  let fitted: Fitted = { springsId: 'heavy', stopId: 'short', housingDeg: 12 };
  run(fitted);
  for (let i = 0; i < 2; i++) {
    const ranked = searched();
    firsts.push(ranked[0]!);
    shown.push(ranked);
    run((fitted = firstOf(ranked, fitted)));
  }
});

test('from a run with other springs and stop the wanted combination is put first, and then it is measured', () => {
  const wanted = practiceFitted(WANTED.springsId, WANTED.stopId);
  expect(firsts[0]!.pick).toEqual({
    firstId: wanted.firstSpringId,
    secondId: wanted.secondSpringId,
    stopId: wanted.stopId,
  });
  expect(firsts.map(({ measured }) => measured)).toEqual([false, true]);
});

test('everything that it suggests is on the bench: pairs with the three stops, the mixed set not yet known', () => {
  for (const ranked of shown) {
    expect(ranked).toHaveLength(9);
    for (const { pick } of ranked) expect(onTheBench(pick)).not.toBeNull();
  }
});

test('the record shows that forecast beside its run, and both agree', () => {
  const { rows, text } = bench.record(job);
  expect(rows.map(({ runId }) => runId)).toEqual(['run-2']); // the third run repeats it
  expect(rows[0]!.agreeingShare).toBeGreaterThanOrEqual(0.95);
  expect(rows[0]!.meanOffDeg).toBeLessThan(1);
  for (const outcome of [rows[0]!.startRpm, rows[0]!.allInRpm, rows[0]!.rangeDeg])
    expect(outcome?.agrees ?? true).toBe(true);
  expect(text).toMatch(/^One forecast so far/);
});

test('once the mixed set was run it is offered with every stop, still as it lies on the bench', () => {
  run({ springsId: 'mixed', stopId: 'long', housingDeg: 12 });
  const mixed = searched().filter(({ pick }) => onTheBench(pick)!.springsId === 'mixed');
  expect(mixed).toHaveLength(3);
});
