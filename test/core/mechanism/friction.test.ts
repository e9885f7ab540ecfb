import { describe, expect, test } from 'vitest';
import { advanceAtSpeed, speedAtAdvance, type Mechanism } from '../../../core/mechanism';
import { advanceAlong, loopDeg, onTheWayDown, onTheWayUp } from '../../../core/mechanism/friction';

/** C = 3e-5 kg m² all along: starts at 1207.901 rpm, all in at 2958.741 rpm (hand arithmetic in mechanism.test.ts). */
const SIMPLE: Mechanism = {
  strokes: 4,
  weights: { kind: 'linear', atRestKgM2: 3e-5, perDegKgM2: 0 },
  springs: { preloadNm: 0.12, rateNmPerDeg: 0.06, second: null },
  stopRangeDeg: 20,
};
const FRICTION_NM = 0.012;

describe('the loop that friction makes', () => {
  // By hand: S + F = 0.132 = 1.1 × 0.12, so the start lies at √1.1 × 1207.901 on the way up and √0.9 on the way down.
  test('the start lies higher on the way up and lower on the way down', () => {
    expect(speedAtAdvance(onTheWayUp(SIMPLE, FRICTION_NM), 0)).toBeCloseTo(1207.901 * Math.sqrt(1.1), 2);
    expect(speedAtAdvance(onTheWayDown(SIMPLE, FRICTION_NM), 0)).toBeCloseTo(1207.901 * Math.sqrt(0.9), 2);
  });

  // On the ramp u = (w²C − S0 ∓ F) / K in distributor degrees, so the two ways lie 2 × 2F/K = 0.8 crank degrees apart.
  test('on the ramp the two ways lie 4 F/K crank degrees apart, and nowhere below the start or past all-in', () => {
    expect(loopDeg(SIMPLE, FRICTION_NM, 2000)).toBeCloseTo(0.8, 9);
    expect(loopDeg(SIMPLE, FRICTION_NM, 900)).toBe(0);
    expect(loopDeg(SIMPLE, FRICTION_NM, 4000)).toBe(0);
  });

  test('without friction there is no loop', () => {
    expect(loopDeg(SIMPLE, 0, 2000)).toBe(0);
  });

  test('a speed that comes back a little leaves the weights where they are, a larger step brings them along', () => {
    const seen = advanceAlong(SIMPLE, FRICTION_NM, [800, 2000, 1990, 1700, 1710, 4000, 2900, 600]);
    const up = (rpm: number): number => advanceAtSpeed(onTheWayUp(SIMPLE, FRICTION_NM), rpm);
    const down = (rpm: number): number => advanceAtSpeed(onTheWayDown(SIMPLE, FRICTION_NM), rpm);
    const expected = [0, up(2000), up(2000), down(1700), down(1700), 20, down(2900), 0];
    seen.forEach((advance, i) => expect(advance).toBeCloseTo(expected[i]!, 9));
  });

  test('friction below 0 or as large as the preload is refused', () => {
    expect(() => onTheWayUp(SIMPLE, -0.001)).toThrow(RangeError);
    expect(() => onTheWayDown(SIMPLE, 0.12)).toThrow(/less than the preload/);
    expect(advanceAlong(SIMPLE, FRICTION_NM, [])).toEqual([]);
  });
});
