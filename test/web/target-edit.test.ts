import { expect, test } from 'vitest';
import { addCorner, addCornerBetween, moveCorner, removeCorner } from '../../web/plot/target-edit';

const TARGET = {
  corners: [
    { rpm: 1000, advanceDeg: 12 },
    { rpm: 2800, advanceDeg: 34 },
  ],
  bandDeg: 2,
};

test('a corner moves to the nearest 50 rpm and half degree', () => {
  expect(moveCorner(TARGET, 0, { rpm: 1176, advanceDeg: 13.3 }).corners[0]).toEqual({
    rpm: 1200,
    advanceDeg: 13.5,
  });
});

test('a corner stops 50 rpm short of its neighbour', () => {
  expect(moveCorner(TARGET, 0, { rpm: 9000, advanceDeg: 12 }).corners[0]!.rpm).toBe(2750);
  expect(moveCorner(TARGET, 1, { rpm: 20, advanceDeg: 12 }).corners[1]!.rpm).toBe(1050);
});

test('moving a corner that is not there is refused', () => {
  expect(() => moveCorner(TARGET, 2, { rpm: 1000, advanceDeg: 1 })).toThrow(RangeError);
});

test('a corner added stands in order of speed; a second at the same speed changes nothing', () => {
  const three = addCorner(TARGET, { rpm: 1510, advanceDeg: 20.2 });
  expect(three.corners.map(({ rpm }) => rpm)).toEqual([1000, 1500, 2800]);
  expect(addCorner(three, { rpm: 1520, advanceDeg: 30 })).toBe(three);
});

test('a corner added without a pointer stands in the middle of the widest gap, on the line', () => {
  expect(addCornerBetween(TARGET).corners[1]).toEqual({ rpm: 1900, advanceDeg: 23 });
  expect(addCornerBetween({ corners: [], bandDeg: 2 }).corners).toHaveLength(1);
  expect(addCornerBetween({ corners: [{ rpm: 900, advanceDeg: 10 }], bandDeg: 2 }).corners).toHaveLength(2);
});

test('a corner taken away leaves the rest as they were', () => {
  expect(removeCorner(TARGET, 0).corners).toEqual([{ rpm: 2800, advanceDeg: 34 }]);
});
