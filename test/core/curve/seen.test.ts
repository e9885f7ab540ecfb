/** Steps among readings of a wandering speed. */
import { expect, test } from 'vitest';
import { stepsDown, stepsUp } from '../../../core/curve/seen';

test('readings a few rpm apart are one step, from below and from above', () => {
  const rpm = [990, 1004, 1012, 1495, 1508, 2010];
  expect(stepsUp(rpm)).toEqual([990, 1495, 2010]);
  expect(stepsDown(rpm)).toEqual([2010, 1508, 1012]);
});

test('a slow sweep without steps counts a step for every stretch that a hand could hold', () => {
  const rpm = Array.from({ length: 21 }, (_, i) => 1000 + 10 * i);
  expect(stepsUp(rpm)).toEqual([1000, 1050, 1100, 1150, 1200]);
});

test('no readings are no steps', () => {
  expect(stepsUp([])).toEqual([]);
  expect(stepsDown([])).toEqual([]);
});
