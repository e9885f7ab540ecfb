/** Points: dwell and what a change of it does. */
import { describe, expect, test } from 'vitest';
import {
  dwellChange,
  dwellFromPercent,
  dwellMs,
  dwellPercent,
  dwellPerGap,
  firingIntervalDeg,
  timingShiftDeg,
} from '../../core/points';

describe('dwell', () => {
  // Common practice: distributor degrees of 360 / cylinders.
  test.each([
    [8, 45, 30, 66.667],
    [6, 60, 36, 60],
    [4, 90, 54, 60],
    [1, 360, 180, 50],
  ])(
    'of %i cylinders: the interval is %f degrees, so %f degrees are %f %%',
    (cylinders, interval, deg, percent) => {
      expect(firingIntervalDeg(cylinders)).toBe(interval);
      expect(dwellPercent(deg, cylinders)).toBeCloseTo(percent, 3);
      expect(dwellFromPercent(percent, cylinders)).toBeCloseTo(deg, 3);
    },
  );
  test('of 30 degrees at 3000 rpm feeds the coil 3.333 ms: 30 / 360 of a distributor turn of 40 ms', () => {
    expect(dwellMs(30, 3000, 4)).toBeCloseTo((30 / 360) * 40, 10);
    expect(dwellMs(30, 3000, 2)).toBeCloseTo((30 / 360) * 20, 10);
  });
  test('wants a number of cylinders and a speed that can be', () => {
    expect(() => firingIntervalDeg(0)).toThrow(/1 to 24, got 0/);
    expect(() => firingIntervalDeg(2.5)).toThrow(RangeError);
    expect(() => dwellMs(30, 0, 4)).toThrow(/speed over 0/);
  });
});

describe('what a change of dwell does to the timing', () => {
  test('one degree more retards a four-stroke by one crank degree (common practice)', () => {
    expect(timingShiftDeg(1, 4)).toBe(-1);
    expect(timingShiftDeg(-2.5, 4)).toBe(2.5);
    expect(timingShiftDeg(0, 4)).toBe(0);
  });
  // A cam of eight lobes, its lift h·(1 + cos 8φ)/2, walked in fine steps: the points are open where the lift passes what
  // the gap leaves. Nothing here knows the rule under test.
  test.each([4, 2] as const)('agrees with a cam walked step by step, %i strokes', (strokes) => {
    const walk = (left: number): { opensDeg: number; dwellDeg: number } => {
      const step = 1e-3;
      let [closed, opensDeg] = [0, NaN];
      for (let deg = -22.5; deg < 22.5; deg += step) {
        const isOpen = (1 + Math.cos((8 * deg * Math.PI) / 180)) / 2 > left;
        if (!isOpen) closed += step;
        else if (Number.isNaN(opensDeg)) opensDeg = deg;
      }
      return { opensDeg, dwellDeg: closed };
    };
    const [wide, narrow] = [walk(0.72), walk(0.78)];
    const later = (narrow.opensDeg - wide.opensDeg) * (strokes === 4 ? 2 : 1); // crank degrees
    expect(narrow.dwellDeg).toBeGreaterThan(wide.dwellDeg);
    expect(timingShiftDeg(narrow.dwellDeg - wide.dwellDeg, strokes)).toBeCloseTo(-later, 2);
  });
});

describe('dwell against gap', () => {
  const at = (gapMm: number | null, dwellDeg: number) => ({ gapMm, dwellDeg });
  test('is the slope of a line: 2 degrees for a tenth of a millimetre', () => {
    expect(dwellPerGap([at(0.4, 30), at(0.5, 28), at(null, 3)])!.value).toBeCloseTo(-20, 9);
  });
  test('has an interval from three readings on; by hand: residuals −1/6, 1/3, −1/6, slope error √(1/6/0.02)', () => {
    const slope = dwellPerGap([at(0.4, 30), at(0.5, 28.5), at(0.6, 26)])!;
    expect(slope.value).toBeCloseTo(-20, 9);
    // t for 5 % and one degree of freedom is 12.706 (printed tables).
    expect((slope.high - slope.value) / (12.706 * Math.sqrt(1 / 6 / 0.02))).toBeCloseTo(1, 3);
  });
  test('is not known from one gap', () => {
    expect(dwellPerGap([])).toBeNull();
    expect(dwellPerGap([at(0.4, 30), at(0.41, 31)])).toBeNull();
  });
});

describe('bringing the dwell to another value', () => {
  const perGap = { value: -20, low: -Infinity, high: Infinity };
  test('closes the gap for more, says that it retards, and that timing comes second', () => {
    const change = dwellChange(27, 30, 4, perGap);
    expect(change.changeDeg).toBe(3);
    expect(change.shiftDeg).toBe(-3);
    expect(change.gapMm).toBeCloseTo(-0.15, 9);
    expect(change.sentences[0]).toMatch(/^Close the gap by about 0\.15 mm/);
    expect(change.sentences[1]).toMatch(
      /retards the spark by about 3\.0° .* dwell first, then set the timing again/,
    );
  });
  test('opens it for less, and gives no millimetres where this engine has not shown them', () => {
    const change = dwellChange(34, 30, 4, null);
    expect(change.gapMm).toBeNull();
    expect(change.sentences[0]).toMatch(/^Open the gap: a larger gap gives less dwell, 4\.0° less/);
    expect(change.sentences[1]).toMatch(/advances the spark by about 4\.0°/);
  });
  test('does not believe readings in which dwell grows with the gap', () => {
    expect(dwellChange(27, 30, 4, { value: 5, low: 1, high: 9 }).gapMm).toBeNull();
  });
  test('within what a meter reads, leaves the points', () => {
    expect(dwellChange(29.8, 30, 4, perGap).sentences).toEqual([
      'Leave the points: the dwell is where it is wanted.',
    ]);
  });
});
