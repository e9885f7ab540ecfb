/** The sensor's mean, by hand arithmetic. */
import { expect, test } from 'vitest';
import { meanNow } from '../../web/state/sensor-now';
import type { Latest } from '../../web/worker/analysis-api';

const heard = (recentDeg: number[], rpm: number | null = 1400): Parameters<typeof meanNow>[0] => ({
  rpm,
  latest: { sensor: { recentDeg } } as unknown as Latest,
});

test('the last sparks give their mean, scatter and how sure the mean is', () => {
  // Four of 24 and 25 turn about: mean 24.5, standard deviation √(1/3); Student's t for 3 degrees of freedom is 3.182
  // (printed tables), so half the interval is 3.182 · 0.57735 / 2 = 0.9186.
  const now = meanNow(heard([24, 25, 24, 25]))!;
  expect(now.meanDeg).toBe(24.5);
  expect(now.scatterDeg).toBeCloseTo(Math.sqrt(1 / 3), 9);
  expect(now.halfDeg).toBeCloseTo(0.9186, 3);
});
test('sparks of long ago are left out', () =>
  expect(meanNow(heard([...Array<number>(36).fill(10), ...Array<number>(12).fill(30)]))).toMatchObject({
    meanDeg: 30,
    sparks: 12,
  }));
test('nothing is told of fewer than four sparks, nor without a speed or a sensor', () => {
  expect(meanNow(heard([20, 21, 20]))).toBeNull();
  expect(meanNow(heard([20, 21, 20, 21], null))).toBeNull();
  expect(meanNow({ rpm: 1400, latest: null })).toBeNull();
});
