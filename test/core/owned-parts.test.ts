/** Owned parts: kept, told, found where they were fitted; and the practice engine's bench as parts. */
import { expect, test } from 'vitest';
import type { OwnedParts, SetUp } from '../../core/job';
import { newJob, NO_PARTS } from '../../core/new-job';
import { putStop, springsWords, useOf, without, withParts } from '../../core/owned-parts';
import { springRate } from '../../core/mechanism/spring-rate';
import {
  practiceMechanism,
  PRACTICE_SPRINGS,
  PRACTICE_STOPS,
} from '../../core/practice/practice-distributor';
import { PRACTICE_PARTS, practiceFitted } from '../../core/practice/practice-parts';
import { madeJob } from '../helpers/made-jobs';

const EMPTY: OwnedParts = { springs: [], stops: [] };
const setUp = (patch: Partial<SetUp>): SetUp => ({
  ...{ id: 'a', name: 'A', springs: '', stop: '', vacuumLine: 'plugged', notes: '', ...NO_PARTS },
  ...patch,
});

test('parts are taken over once, and what was changed in them since stays', () => {
  const once = withParts(EMPTY, PRACTICE_PARTS);
  const changed = putStop(once, { ...once.stops[0]!, name: 'My short one' });
  expect(withParts(changed, PRACTICE_PARTS)).toEqual(changed);
});

test('springs are told as two of a kind, two kinds, or one', () => {
  expect(springsWords('Thin', 'Thin')).toBe('Thin × 2');
  expect(springsWords('Thin', 'Thick')).toBe('Thin with Thick');
  expect(springsWords('Thin', null)).toBe('Thin');
});

test('a part is found in its set-ups with the number of their runs, and let go of by them', () => {
  const job = madeJob();
  const fitted = setUp({ id: 's1', firstSpringId: 'thin', secondSpringId: 'thin', stopId: 'bush' });
  const used = { ...job, setUps: [fitted, setUp({ id: 'other' })] };
  expect(useOf(used, 'thin').setUps.map(({ id }) => id)).toEqual(['s1']);
  expect(useOf(used, 'thin').runs).toBe(job.runs.filter((run) => run.setUpId === 's1').length);
  expect(useOf(newJob({ id: 'j', name: '', createdAt: '' }), 'thin')).toEqual({ setUps: [], runs: 0 });
  expect(without(fitted, 'thin')).toEqual({ firstSpringId: null, secondSpringId: null, stopId: 'bush' });
  expect(without(fitted, 'none of it')).toBeNull();
});

test('everything on the practice engine’s bench is among its parts', () => {
  const springs = PRACTICE_PARTS.springs.map(({ id }) => id);
  const stops = PRACTICE_PARTS.stops.map(({ id }) => id);
  for (const { id } of PRACTICE_SPRINGS)
    for (const stop of PRACTICE_STOPS) {
      const { firstSpringId, secondSpringId, stopId } = practiceFitted(id, stop.id);
      expect(springs).toContain(firstSpringId);
      expect(springs).toContain(secondSpringId);
      expect(stops).toContain(stopId);
    }
});

test('the practice springs’ rates stand to each other as the bench’s mechanism has them', () => {
  const pairs = ['light', 'middle', 'heavy'] as const;
  const bench = pairs.map((id) => practiceMechanism(id, 'short').springs.rateNmPerDeg);
  const rates = pairs.map(
    (id) =>
      springRate(PRACTICE_PARTS.springs.find((spring) => spring.id === `practice-spring-${id}`)!)!.rateNPerMm,
  );
  // Stretches are read to 0.1 mm of 4.9 mm at least: to 1 %.
  rates.forEach((rate, i) => expect(rate / rates[0]! / (bench[i]! / bench[0]!)).toBeCloseTo(1, 1.7));
});
