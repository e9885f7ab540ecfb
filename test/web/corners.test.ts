import { expect, test } from 'vitest';
import { cornerProblem, setCorner } from '../../web/views/engine/corners';

const CORNERS = [
  { rpm: 900, advanceDeg: 12 },
  { rpm: 1500, advanceDeg: 20 },
  { rpm: 2800, advanceDeg: 34 },
];

test('a typed figure is kept as typed, not moved to a step', () =>
  expect(setCorner(CORNERS, 1, { rpm: 1487, advanceDeg: 19.3 })[1]).toEqual({ rpm: 1487, advanceDeg: 19.3 }));
test('corners stay in rising order of speed whatever is typed', () =>
  expect(setCorner(CORNERS, 0, { rpm: 2000 }).map(({ rpm }) => rpm)).toEqual([1500, 2000, 2800]));
test('two corners cannot share a speed, one may keep its own', () => {
  expect(cornerProblem(CORNERS, 0, 1500)).toMatch(/two cannot share a speed/);
  expect(cornerProblem(CORNERS, 1, 1500)).toBeNull();
});
test('a corner that is not there cannot be set', () =>
  expect(() => setCorner(CORNERS, 3, { rpm: 1 })).toThrow(RangeError));
