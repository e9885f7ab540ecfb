/** The curve beside its target. Expected figures: hand arithmetic on the made curve. */
import { describe, expect, test } from 'vitest';
import { fitCurve } from '../../core/fit';
import { compareWithTarget, idleView } from '../../core/result';

const curve = (rpm: number): number => 12 + Math.min(20, Math.max(0, (rpm - 1000) / 100));
const fitOf = (fromRpm: number, toRpm: number) =>
  fitCurve(
    Array.from({ length: Math.floor((toRpm - fromRpm) / 100) + 1 }, (_, i) => ({
      rpm: fromRpm + 100 * i,
      advanceDeg: curve(fromRpm + 100 * i) + [0.1, -0.1, 0.05, -0.05][i % 4]!,
    })),
  );
const FIT = fitOf(500, 4000);
const target = (corners: readonly (readonly [number, number])[], bandDeg: number) => ({
  corners: corners.map(([rpm, advanceDeg]) => ({ rpm, advanceDeg })),
  bandDeg,
});

describe('against a target', () => {
  test('that it meets, the curve lies inside the band', () => {
    const found = compareWithTarget(
      FIT,
      target(
        [
          [1000, 12],
          [3000, 32],
        ],
        1,
      ),
      700,
    );
    expect(found.inBand).toBe(true);
    expect(found.off).toEqual([]);
    expect(found.unseen).toEqual([]);
    expect(found.text).toBe('The curve lies inside the band.');
  });

  test('with a later ramp, one stretch lies above: 5 degrees off at most, between both ramps', () => {
    // wanted: 12 at 1500, 32 at 3500: the curve runs 500 rpm ahead at 10 degrees for each 1000 rpm, 5 degrees
    const { off, inBand } = compareWithTarget(
      FIT,
      target(
        [
          [1500, 12],
          [3500, 32],
        ],
        2,
      ),
      700,
    );
    expect(inBand).toBe(false);
    expect(off).toHaveLength(1);
    expect(off[0]!.offDeg).toBeCloseTo(5, 0);
    expect(off[0]!.beyondBandDeg).toBeCloseTo(3, 0);
    expect(Math.abs(off[0]!.fromRpm - 1200)).toBeLessThan(40); // 2 degrees of the ramp past 1000
    expect(Math.abs(off[0]!.toRpm - 3300)).toBeLessThan(40);
    expect(off[0]!.sure).toBe(true);
    expect(off[0]!.text).toContain('above the band');
    expect(off[0]!.text).toContain(`${off[0]!.beyondBandDeg.toFixed(1)} degrees`);
  });

  test('that asks for less at the bottom and more at the top, two stretches on two sides', () => {
    const { off } = compareWithTarget(
      FIT,
      target(
        [
          [1000, 9],
          [3000, 35],
        ],
        2,
      ),
      700,
    );
    expect(off.map(({ offDeg }) => Math.sign(offDeg))).toEqual([1, -1]);
  });

  test('nothing is said where the curve is not seen', () => {
    const { unseen, off, inBand, text } = compareWithTarget(
      fitOf(1300, 4000),
      target(
        [
          [1000, 12],
          [3000, 32],
        ],
        1,
      ),
      700,
    );
    expect(unseen).toHaveLength(1);
    expect(unseen[0]!.fromRpm).toBe(700);
    expect(Math.abs(unseen[0]!.toRpm - 1290)).toBeLessThanOrEqual(10);
    expect(off).toEqual([]);
    expect(inBand).toBe(true);
    expect(text).toContain('where it is seen');
  });

  test('no readings make no verdict', () => {
    expect(compareWithTarget(fitCurve([]), target([[1000, 12]], 1), null).inBand).toBeNull();
  });

  test('without corners is a mistake', () => {
    expect(() => compareWithTarget(FIT, target([], 1), null)).toThrow(RangeError);
  });
});

describe('idle', () => {
  test('below the start is the initial timing', () => {
    const view = idleView(FIT, { idleRpm: 700 })!;
    expect(view.isInitial).toBe(true);
    expect(view.text).toContain('12.0 degrees are the initial timing');
  });
  test('above the start is not, and the sentence gives both', () => {
    const view = idleView(FIT, { idleRpm: 1200 })!;
    expect(view.isInitial).toBe(false);
    expect(view.idleDeg!).toBeCloseTo(14, 0);
    expect(view.text).toContain('not the initial timing');
    expect(view.text).toContain('off their stop');
  });
  test('where the level is not seen may not be, and the way on is given', () => {
    const view = idleView(fitOf(1300, 4000), { idleRpm: 1350 })!;
    expect(view.isInitial).toBeNull();
    expect(view.text).toContain('pin the weights');
  });
  test('not said, has no view', () => expect(idleView(FIT, { idleRpm: null })).toBeNull());
});
