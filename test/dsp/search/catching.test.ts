import { expect, test } from 'vitest';
import type { Beat } from '../../../dsp/beat/beat-limits';
import { Candidates } from '../../../dsp/impulses/candidates';
import { afterCatching } from '../../../dsp/search/catching';

/** A beat of strikes as tall as each other, at times by hand. @param steps intervals counted before each */
function begunAt(timesS: readonly number[], steps: readonly number[]): { firstS: number; beat: Beat } {
  const all = new Candidates('sharp');
  for (const atS of timesS) all.add(atS, 1, 1, 1e-3, 0, 1e-12);
  const beat = afterCatching(all, {
    strikes: timesS.map((_, k) => k),
    steps,
    sign: 1,
    periodS: 0.1,
    lead: 1,
    pattern: null,
    isCut: false,
  });
  return { firstS: timesS[beat.strikes[0]!]!, beat };
}

test('a beat begins where the engine that catches has nearly its speed, though its first interval was counted as two', () => {
  const timesS = [0, 0.4, 0.6, 0.75, 0.87, 0.98, 1.08, 1.18, 1.28, 1.38];
  const { firstS, beat } = begunAt(timesS, [0, 2, 1, 1, 1, 1, 1, 1, 1, 1]);
  expect(firstS).toBe(0.75);
  expect(beat.steps).toEqual([0, 1, 1, 1, 1, 1, 1]);
  expect(beat.periodS).toBeCloseTo((1.38 - 0.75) / 6, 12);
});

test('a beat that runs evenly, or roughly, begins where it began', () => {
  expect(begunAt([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7], [0, 1, 1, 1, 1, 1, 1, 1]).firstS).toBe(0);
  expect(begunAt([0, 0.11, 0.2, 0.31, 0.4, 0.51, 0.6, 0.7], [0, 1, 1, 1, 1, 1, 1, 1]).firstS).toBe(0);
});

test('strikes missing of a steady engine, counted as one less, are no engine that catches', () => {
  expect(begunAt([0, 0.1, 0.2, 0.5, 0.6, 0.7, 0.8, 0.9], [0, 1, 1, 2, 1, 1, 1, 1]).firstS).toBe(0);
  expect(begunAt([0, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9], [0, 2, 1, 1, 1, 1, 1, 1]).firstS).toBe(0);
});
