/** The target: its line, its band, its checks, its corners' edits; the starting target by the trade's traits. */
import { describe, expect, test } from 'vitest';
import type { EngineTraits } from '../../core/engine';
import { startingTarget } from '../../core/starting-target';
import {
  addCorner,
  moveCorner,
  removeCorner,
  targetAt,
  targetBandAt,
  targetProblems,
} from '../../core/target';

const TARGET = {
  corners: [
    { rpm: 1000, advanceDeg: 12 },
    { rpm: 3000, advanceDeg: 34 },
  ],
  bandDeg: 1.5,
};

describe('the advance wanted', () => {
  test('is straight between corners and level outside them', () => {
    expect([600, 1000, 2000, 3000, 6000].map((rpm) => targetAt(TARGET, rpm))).toEqual([12, 12, 23, 34, 34]);
  });
  test('has a band as wide as asked on both sides', () => {
    expect(targetBandAt(TARGET, 2000)).toEqual({ low: 21.5, high: 24.5 });
  });
  test('of no corners is a mistake', () => {
    expect(() => targetAt({ corners: [] }, 1000)).toThrow(RangeError);
  });
});

describe('the checks', () => {
  test('find nothing in a good target', () => expect(targetProblems(TARGET)).toEqual([]));
  test.each([
    [{ ...TARGET, corners: [] }, 'no corners'],
    [{ ...TARGET, bandDeg: 0 }, 'band'],
    [{ ...TARGET, corners: [...TARGET.corners].reverse() }, 'must lie above corner 1'],
    [{ ...TARGET, corners: [{ rpm: -5, advanceDeg: 12 }] }, 'above 0'],
    [{ ...TARGET, corners: [{ rpm: 900, advanceDeg: 120 }] }, 'degrees'],
  ])('say what is wrong with %j', (target, words) => {
    expect(targetProblems(target).join(' ')).toContain(words);
  });
});

describe('corners', () => {
  test('move no further than their neighbours', () => {
    expect(moveCorner(TARGET, 0, { rpm: 5000, advanceDeg: 15 }).corners[0]).toEqual({
      rpm: 2950,
      advanceDeg: 15,
    });
    expect(moveCorner(TARGET, 1, { rpm: 20_000, advanceDeg: 99 }).corners[1]).toEqual({
      rpm: 12_000,
      advanceDeg: 70,
    });
  });
  test('are added in their place, once', () => {
    const added = addCorner(TARGET, { rpm: 1800, advanceDeg: 26 });
    expect(added.corners.map((corner) => corner.rpm)).toEqual([1000, 1800, 3000]);
    expect(addCorner(added, { rpm: 1820, advanceDeg: 20 })).toBe(added);
  });
  test('are taken away; one that is not there is a mistake', () => {
    expect(removeCorner(TARGET, 0).corners).toEqual([TARGET.corners[1]]);
    expect(() => removeCorner(TARGET, 2)).toThrow(RangeError);
    expect(() => moveCorner(TARGET, -1, TARGET.corners[0]!)).toThrow(RangeError);
  });
});

describe('the starting target', () => {
  const NONE: EngineTraits = {
    compression: null,
    camDuration: null,
    weight: null,
    gearing: null,
    converter: null,
  };
  const allIn = (traits: Partial<EngineTraits>, idleRpm: number | null = null): number =>
    startingTarget({ traits: { ...NONE, ...traits }, idleRpm }).target.corners[1]!.rpm;

  // Common practice: more compression, a longer cam, a lighter car, shorter gearing, a looser converter accept a
  // faster curve; the opposite of each wants a slower one.
  test.each([
    [{ compression: 'high' }, { compression: 'low' }],
    [{ camDuration: 'long' }, { camDuration: 'short' }],
    [{ weight: 'light' }, { weight: 'heavy' }],
    [{ gearing: 'short' }, { gearing: 'long' }],
    [{ converter: 'loose' }, { converter: 'tight' }],
  ] as [Partial<EngineTraits>, Partial<EngineTraits>][])(
    'comes in sooner for %j and later for %j',
    (faster, slower) => {
      expect(allIn(faster)).toBeLessThan(allIn({}));
      expect(allIn(slower)).toBeGreaterThan(allIn({}));
    },
  );
  test('is left alone by usual traits and by those not said', () => {
    expect(allIn({ compression: 'usual', converter: 'manual' })).toBe(allIn({}));
    expect(startingTarget({ traits: NONE, idleRpm: null }).reasons).toEqual([]);
  });
  test('gives a reason for each trait that counts', () => {
    const { reasons } = startingTarget({
      traits: { ...NONE, weight: 'light', gearing: 'long' },
      idleRpm: null,
    });
    expect(reasons).toHaveLength(2);
    expect(reasons.join(' ')).toContain('lighter car');
  });
  test('starts above idle, so that the weights rest there', () => {
    expect(startingTarget({ traits: NONE, idleRpm: 1100 }).target.corners[0]!.rpm).toBe(1300);
  });
  test('is a good target, said to be a start, under the maker and with the caution on knock', () => {
    const start = startingTarget({ traits: NONE, idleRpm: 2600 });
    expect(targetProblems(start.target)).toEqual([]);
    expect(start.standing).toContain('starting point');
    expect(start.cautions.join(' ')).toContain("maker's data");
    expect(start.cautions.join(' ')).toContain('Knock');
  });
});
