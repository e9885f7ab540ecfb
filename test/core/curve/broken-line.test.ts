/** Broken lines with level ends, which no published set has, on made points; and what they refuse. */
import { describe, expect, test } from 'vitest';
import { brokenLine } from '../../../core/curve/broken-line';

const x = Array.from({ length: 41 }, (_, i) => i / 4);
const flatRampFlat = (at: number): number => 5 + 2 * Math.min(4, Math.max(0, at - 3));

test('a level, a ramp and a level come back exactly from points without scatter', () => {
  const line = brokenLine(x, x.map(flatRampFlat), 2, { levelBefore: true, levelAfter: true })!;
  expect(line.corners[0]!.value).toBeCloseTo(3, 5);
  expect(line.corners[1]!.value).toBeCloseTo(7, 5);
  expect(line.intercept.value).toBeCloseTo(5, 5);
  expect(line.firstSlope).toBeNull();
  expect(line.slopeChanges.map(({ value }) => Math.round(1e4 * value) / 1e4)).toEqual([2, -2]);
  expect(line.freedom).toBe(41 - 4);
});

test('with scatter the errors shrink as the root of the count: four times the points, half the error', () => {
  const wave = [0.2, -0.2, 0.1, -0.1];
  const error = (each: number): number => {
    const many = x.flatMap((at) => Array<number>(each).fill(at));
    const y = many.map((at, i) => flatRampFlat(at) + wave[(i * 7) % 4]!);
    return brokenLine(many, y, 2, { levelBefore: true, levelAfter: true })!.corners[0]!.standardError!;
  };
  expect(error(4) / error(1)).toBeGreaterThan(0.4);
  expect(error(4) / error(1)).toBeLessThan(0.6);
});

test('the order of the points does not matter', () => {
  const y = x.map((at, i) => flatRampFlat(at) + ((i * 37) % 11) / 50);
  const turned = brokenLine([...x].reverse(), [...y].reverse(), 2);
  expect(turned).toEqual(brokenLine(x, y, 2));
});

describe('refuses', () => {
  test('unequal lengths, no or many corners, too few points', () => {
    expect(() => brokenLine([1, 2], [1], 1)).toThrow(RangeError);
    expect(() => brokenLine(x, x, 0)).toThrow(/1 to 3 corners/);
    expect(() => brokenLine(x, x, 4)).toThrow(/1 to 3 corners/);
    expect(() => brokenLine([1, 2, 3], [1, 2, 3], 1)).toThrow(/at least 4 points/);
  });
});
