/** To which step degrees were rounded; what that says of the scatter, by hand arithmetic. */
import { describe, expect, test } from 'vitest';
import { knownScatter, notedStep, roundingVariance } from '../../../core/curve/noted';

describe('the step to which degrees were rounded', () => {
  test.each([
    [[8, 8.5, 9, 12.5, 24], 0.5],
    [[8, 9, 13, 18, 24], 1],
    [[8, 10, 14, 18, 24], 2],
    [[-2, 0, 4.5, 9, 10], 0.5],
  ])('of %j is %d', (degs, stepDeg) => expect(notedStep(degs)).toBe(stepDeg));
  test('is none where one figure is finer', () => expect(notedStep([8, 8.5, 9.3, 12.5, 24])).toBeNull());
  test('is not said of four figures, nor of none', () => {
    expect(notedStep([8, 9, 10, 11])).toBeNull();
    expect(notedStep([])).toBeNull();
  });
});

test('rounding to one degree is uniform over a degree: its variance is 1/12', () => {
  expect(roundingVariance(1)).toBeCloseTo(1 / 12, 12);
  expect(roundingVariance(null)).toBe(0);
});

test('rounded readings are known to scatter as an eye does and as rounding does; of others nothing is known', () => {
  const { count, squares } = knownScatter(1);
  expect(squares / count).toBeCloseTo(0.25 + 1 / 12, 12);
  expect(knownScatter(null)).toEqual({ count: 0, squares: 0 });
});
