/** Student's t and Fisher's F against printed tables and an independent library. */
import jStat from 'jstat';
import { describe, expect, test } from 'vitest';
import { fTail, incompleteBeta, tQuantile, tTails } from '../../core/curve/student-t';

describe("Student's t", () => {
  // The 97.5 and 99.5 % points as any printed table has them (from memory)
  test.each([
    [1, 12.706, 63.657],
    [2, 4.303, 9.925],
    [5, 2.571, 4.032],
    [10, 2.228, 3.169],
    [30, 2.042, 2.75],
    [120, 1.98, 2.617],
  ])('with %i degrees of freedom has the printed points %f and %f', (freedom, at95, at99) => {
    expect(Math.abs(tQuantile(0.05, freedom) - at95)).toBeLessThan(6e-4);
    expect(Math.abs(tQuantile(0.01, freedom) - at99)).toBeLessThan(6e-4);
  });

  test('agrees with an independent library over freedoms and tails', () => {
    for (const freedom of [1, 3, 4, 8, 17, 36, 200])
      for (const tails of [0.001, 0.01, 0.04, 0.05, 0.3])
        expect(tQuantile(tails, freedom) / jStat.studentt.inv(1 - tails / 2, freedom)).toBeCloseTo(1, 6);
  });

  test('its tails and its points undo each other', () => {
    for (const freedom of [2, 9, 33]) expect(tTails(tQuantile(0.04, freedom), freedom)).toBeCloseTo(0.04, 10);
  });
});

test("Fisher's F has the printed 5 % points", () => {
  // F table, 5 %: (3, 12) 3.49, (2, 20) 3.49, (1, 10) 4.96, (4, 30) 2.69 (from memory); the last digit is rounded
  for (const [f, top, bottom] of [
    [3.49, 3, 12],
    [3.49, 2, 20],
    [4.96, 1, 10],
    [2.69, 4, 30],
  ] as const)
    expect(Math.abs(fTail(f, top, bottom) - 0.05)).toBeLessThan(3e-4);
});

test('the incomplete beta function has its closed forms and its symmetry', () => {
  expect(incompleteBeta(0.3, 1, 1)).toBeCloseTo(0.3, 12);
  expect(incompleteBeta(0.3, 2, 1)).toBeCloseTo(0.09, 12);
  expect(incompleteBeta(0.3, 1, 3)).toBeCloseTo(1 - 0.7 ** 3, 12);
  expect(incompleteBeta(0.2, 4.5, 2.5)).toBeCloseTo(1 - incompleteBeta(0.8, 2.5, 4.5), 12);
});

test('arguments outside their range are refused', () => {
  expect(() => incompleteBeta(1.1, 1, 1)).toThrow(RangeError);
  expect(() => tQuantile(0, 5)).toThrow(RangeError);
  expect(() => tQuantile(0.05, 0)).toThrow(RangeError);
});
