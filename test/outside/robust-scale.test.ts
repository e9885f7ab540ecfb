/** Robust middle and spread against published values.
 * Data and values: statsmodels, statsmodels/robust/tests/test_scale.py (BSD-3), the "chem" set of 24 copper
 * determinations; Huber's proposal 2 there agrees with R's MASS::hubers. */
import { mad, median } from 'simple-statistics';
import { expect, test } from 'vitest';
import { MAD_TO_SD, robustMean } from '../../core/curve/robust';

const CHEM = [
  2.2, 2.2, 2.4, 2.4, 2.5, 2.7, 2.8, 2.9, 3.03, 3.03, 3.1, 3.37, 3.4, 3.4, 3.4, 3.5, 3.6, 3.7, 3.7, 3.7, 3.7,
  3.77, 5.28, 28.95,
];

test("Huber's proposal 2 gives the published middle and spread, to their printed digits", () => {
  const { mean, sd } = robustMean(CHEM)!;
  expect(mean).toBeCloseTo(3.20549, 4);
  expect(sd).toBeCloseTo(0.67365, 4);
});

test('the median and the median absolute deviation that it starts from are the published ones', () => {
  expect(median(CHEM)).toBeCloseTo(3.385, 12);
  expect(mad(CHEM)).toBeCloseTo(0.355, 12);
  expect(MAD_TO_SD * mad(CHEM)).toBeCloseTo(0.5263237876, 8);
});

test('one determination of 28.95 among the 24 drags the plain mean to 4.28 and leaves the robust one', () => {
  const plain = CHEM.reduce((sum, value) => sum + value, 0) / CHEM.length;
  expect(plain).toBeCloseTo(4.2804, 4);
  expect(robustMean(CHEM)!.mean).toBeLessThan(3.3);
});
