import { expect, test } from 'vitest';
import { curveColumns, rangesOf, targetLine, type Picture } from '../../web/plot/picture';

const EMPTY: Picture = { readings: [], curve: null, corners: [], target: null, spanRpm: [] };
const TARGET = {
  corners: [
    { rpm: 1000, advanceDeg: 12 },
    { rpm: 2800, advanceDeg: 34 },
  ],
  bandDeg: 2,
};

test('an empty picture still has a ground to draw on', () => {
  expect(rangesOf(EMPTY)).toEqual({ rpm: [250, 4250], deg: [0, 45] });
});

test('the ranges hold every reading, the steps and the whole band of the target, in round numbers', () => {
  const reading = { id: 'a', rpm: 4100, rpmSd: 8, advanceDeg: -3, moved: false, slip: false };
  const ranges = rangesOf({ ...EMPTY, readings: [reading], target: TARGET, spanRpm: [600] });
  expect(ranges.rpm[0]).toBeLessThanOrEqual(600);
  expect(ranges.rpm[1]).toBeGreaterThanOrEqual(4100);
  expect(ranges.deg[0]).toBeLessThanOrEqual(-3);
  expect(ranges.deg[1]).toBeGreaterThanOrEqual(36);
  for (const end of ranges.rpm) expect(end % 250).toBe(0);
});

test('a target runs level outside its corners', () => {
  expect(targetLine(TARGET, [500, 4000])).toEqual([[500, 12], [1000, 12], [2800, 34], [4000, 34]]); // prettier-ignore
  expect(targetLine(TARGET, [1000, 2800])).toEqual([[1000, 12], [2800, 34]]); // prettier-ignore
  expect(targetLine(null, [500, 4000])).toEqual([]);
});

test('a picture without a curve gives empty columns over the range', () => {
  expect(curveColumns(EMPTY, [500, 4000])).toEqual([[500, 4000], [null, null], [null, null], [null, null]]); // prettier-ignore
});
