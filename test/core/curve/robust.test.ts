/** Robust middle and spread at their edges; published values stand in test/outside/robust-scale.test.ts. */
import { expect, test } from 'vitest';
import { robustMean } from '../../../core/curve/robust';
import { createRandom } from '../../../dsp/maker/random';

test('of nothing is nothing, of one value that value, of equal values no spread', () => {
  expect(robustMean([])).toBeNull();
  expect(robustMean([7])).toEqual({ mean: 7, sd: 0 });
  expect(robustMean([3, 3, 3, 3])).toEqual({ mean: 3, sd: 0 });
});

test('of normal values are their mean and standard deviation', () => {
  const random = createRandom(5);
  const { mean, sd } = robustMean(Array.from({ length: 20_000 }, () => 50 + 4 * random.normal()))!;
  expect(Math.abs(mean - 50)).toBeLessThan(0.1); // three standard errors of the mean: 3 · 4/√20000
  expect(Math.abs(sd / 4 - 1)).toBeLessThan(0.03);
});

test('move with the values: shifted and stretched values give a shifted and stretched answer', () => {
  const values = [1, 2, 2.5, 3, 3.2, 4, 19];
  const plain = robustMean(values)!;
  const moved = robustMean(values.map((value) => 10 * value - 3))!;
  expect(moved.mean).toBeCloseTo(10 * plain.mean - 3, 6);
  expect(moved.sd).toBeCloseTo(10 * plain.sd, 6);
});
