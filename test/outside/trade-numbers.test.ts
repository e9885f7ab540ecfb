/** The trade's own numbers. Beside each: `common practice` has no published source; `from memory` is a published value
 * whose print was not seen; the rest is hand arithmetic from the definition given. */
import { describe, expect, test } from 'vitest';
import { housingAdvice } from '../../core/advice';
import { arcMm, degInTime, housingDeg, housingTurn, tapeZeroErrorDeg } from '../../core/angle';
import { rpmFromRate, strikesPerTurn } from '../../core/engine';
import { fitCurve } from '../../core/fit';
import { advanceOf } from '../../core/reading';
import { startingTarget } from '../../core/starting-target';
import { targetAt } from '../../core/target';

describe('angles, arcs and times', () => {
  test('1 ms at 3000 rpm is 18 crank degrees (6 · 3000 · 0.001)', () => {
    expect(degInTime(3000, 0.001)).toBeCloseTo(18, 12);
  });
  test('on a damper of 8 inches one degree is 1.773 mm, 0.0698 in (π · 203.2 / 360)', () => {
    expect(arcMm(203.2, 1)).toBeCloseTo(1.773, 3);
    expect(arcMm(203.2, 1) / 25.4).toBeCloseTo(0.0698, 4);
  });
  test('the arc of a whole turn is the circumference', () => {
    expect(arcMm(100, 360)).toBeCloseTo(314.159265, 6);
  });
  test("a four-stroke's housing turns half the crank degrees (common practice), 1 degree for 2", () => {
    expect(housingDeg(2, 4)).toBe(1);
    expect(housingDeg(2, 2)).toBe(2);
  });
  test('turning against the rotor advances, with it retards (common practice)', () => {
    expect(housingTurn('clockwise', 'advance')).toBe('anticlockwise');
    expect(housingTurn('clockwise', 'retard')).toBe('clockwise');
    expect(housingTurn('anticlockwise', 'advance')).toBe('clockwise');
    expect(housingTurn('anticlockwise', 'retard')).toBe('anticlockwise');
  });
});

describe('reading with a light', () => {
  test('true TDC is midway between the two readings at a positive stop (common practice): 22 before and 18 after put the tape 2 degrees off', () => {
    expect(tapeZeroErrorDeg(22, -18)).toBe(2);
    expect(tapeZeroErrorDeg(20, -20)).toBe(0);
  });
  test('a fixed delay reads as false retard that grows with speed: 100 µs hide 1.8 degrees at 3000 rpm', () => {
    const corrections = { tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 100 };
    expect(advanceOf({ rpm: 3000, seenDeg: 33.2 }, corrections)).toBeCloseTo(35, 10);
    expect(advanceOf({ rpm: 1000, seenDeg: 12 }, corrections)).toBeCloseTo(12.6, 10);
  });
  test('a tape that shows 2 at true TDC reads 2 too many', () => {
    expect(
      advanceOf({ rpm: 800, seenDeg: 14 }, { tapeZeroErrorDeg: 2, tapeZeroSdDeg: null, lightDelayUs: 0 }),
    ).toBe(12);
  });
});

test('a plug lead of a four-stroke fires every second turn: 10 strikes a second are 1200 rpm', () => {
  const perTurn = strikesPerTurn({ strokes: 4, cylinders: 8, pickup: 'plug' });
  expect(rpmFromRate(10, perTurn)).toBe(1200);
});

describe('a total of 35 with 19 at idle', () => {
  // Common practice: a total of 35 with 19 at idle means a centrifugal range of 16 crank degrees.
  const curve = (rpm: number): number => 19 + 16 * Math.min(1, Math.max(0, (rpm - 1100) / 1900));
  const readings = Array.from({ length: 35 }, (_, i) => {
    const rpm = 600 + 100 * i;
    return { rpm, advanceDeg: curve(rpm) + [0.3, -0.3, 0.1, -0.2, 0.2, -0.1][i % 6]! };
  });
  const fit = fitCurve(readings);

  test('is found to have a range of 16 degrees', () => {
    expect(Math.abs(fit.rangeDeg!.value - 16)).toBeLessThan(0.3);
    expect(fit.rangeDeg!.low).toBeLessThan(16);
    expect(fit.rangeDeg!.high).toBeGreaterThan(16);
  });

  test('brought to a total of 31 the housing turns 2 degrees and idle reads 15', () => {
    const target = {
      corners: [
        { rpm: 1000, advanceDeg: 12 },
        { rpm: 3000, advanceDeg: 31 },
      ],
      bandDeg: 1,
    };
    const engine = { strokes: 4, rotorSense: 'clockwise', housingDiameterMm: 80, idleRpm: 700 } as const;
    const advice = housingAdvice(fit, target, engine);
    expect(advice.kind).toBe('turn');
    expect(advice.moveDeg!.value).toBeCloseTo(-4, 0);
    expect(advice.housingDeg!).toBeCloseTo(2, 0);
    expect(advice.turn).toBe('clockwise'); // with the rotor: retard
    expect(Math.abs(advice.idleAfterDeg!.value - 15)).toBeLessThan(0.4);
  });
});

test('the starting target begins near 12 and ends at 34 to 36 degrees (common practice)', () => {
  const { target, standing } = startingTarget({
    idleRpm: null,
    traits: { compression: null, camDuration: null, weight: null, gearing: null, converter: null },
  });
  expect(targetAt(target, 600)).toBe(12);
  expect(targetAt(target, 5000)).toBeGreaterThanOrEqual(34);
  expect(targetAt(target, 5000)).toBeLessThanOrEqual(36);
  expect(standing).toContain('starting point');
});
