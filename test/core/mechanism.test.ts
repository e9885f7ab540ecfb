import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  advanceAtSpeed,
  checkSteady,
  coilSpringRate,
  speedAtAdvance,
  springMoment,
  weightMoment,
  withSpringFactors,
  type Mechanism,
  type Springs,
  type SwingingWeights,
} from '../../core/mechanism';

/** Two weights of 50 g, arms square to the line to the shaft and staying so: C = 2 × 0.05 × 0.020 × 0.015 = 3e-5 kg m². */
const SQUARE: SwingingWeights = {
  kind: 'swinging',
  count: 2,
  massKg: 0.05,
  pinRadiusMm: 20,
  armMm: 15,
  restAngleDeg: 90,
  swingPerDeg: 0,
};
const SIMPLE: Mechanism = {
  strokes: 4,
  weights: SQUARE,
  springs: { preloadNm: 0.12, rateNmPerDeg: 0.06, second: null },
  stopRangeDeg: 20,
};

// Hand arithmetic: w² = 0.12 / 3e-5 = 4000, w = 63.24555 rad/s, 603.950 turns a minute, twice that at the crank.
test('the advance starts where the weights balance the preload', () => {
  expect(speedAtAdvance(SIMPLE, 0)).toBeCloseTo(1207.901, 3);
});

// At the stop, 10 distributor degrees: S = 0.12 + 0.6 = 0.72, w² = 24000, w = 154.91933, 1479.371 turns, 2958.741.
test('it is all in where the weights balance the springs at the stop', () => {
  expect(speedAtAdvance(SIMPLE, 20)).toBeCloseTo(2958.741, 2);
});

// Half way by the springs: S = 0.42 at 5 distributor degrees = 10 crank degrees, w² = 14000, w = 118.32160, 2259.776.
test('with a constant moment of the weights the advance is linear in the square of the speed', () => {
  expect(advanceAtSpeed(SIMPLE, 2259.776)).toBeCloseTo(10, 4);
});

test('the advance is nothing below the start and the whole range from all-in on', () => {
  expect(advanceAtSpeed(SIMPLE, 0)).toBe(0);
  expect(advanceAtSpeed(SIMPLE, 1207)).toBe(0);
  expect(advanceAtSpeed(SIMPLE, 2959)).toBe(20);
  expect(advanceAtSpeed(SIMPLE, 12_000)).toBe(20);
});

test('a two-stroke’s distributor turns with the crank: half the speed for the same moments, one degree for one', () => {
  const twoStroke = { ...SIMPLE, strokes: 2 as const, stopRangeDeg: 10 };
  expect(speedAtAdvance(twoStroke, 0)).toBeCloseTo(1207.901 / 2, 3);
  expect(speedAtAdvance(twoStroke, 10)).toBeCloseTo(2958.741 / 2, 3);
});

// By hand: beyond 4 distributor degrees 0.1 more for each: at 10, 0.72 + 0.6 = 1.32 N m.
test('a second spring with slack takes hold only beyond it', () => {
  const springs: Springs = {
    preloadNm: 0.12,
    rateNmPerDeg: 0.06,
    second: { rateNmPerDeg: 0.1, slackDeg: 4 },
  };
  expect(springMoment(springs, 4)).toBeCloseTo(0.36, 12);
  expect(springMoment(springs, 10)).toBeCloseTo(1.32, 12);
  const both = { ...SIMPLE, springs };
  expect(speedAtAdvance(both, 8)).toBe(speedAtAdvance(SIMPLE, 8));
  expect(speedAtAdvance(both, 20)).toBeCloseTo(2958.741 * Math.sqrt(1.32 / 0.72), 2);
});

/** The centrifugal force's moment about the pin from coordinates, the whole force with the part along the arm: the pin
 * at (R, 0), the arm turned from the line to the shaft by gamma. */
function crossProduct(weights: SwingingWeights, distributorDeg: number): number {
  const gamma = ((weights.restAngleDeg + weights.swingPerDeg * distributorDeg) * Math.PI) / 180;
  const pin = weights.pinRadiusMm / 1000;
  const arm = [-Math.cos(gamma) * (weights.armMm / 1000), Math.sin(gamma) * (weights.armMm / 1000)] as const;
  const force = [pin + arm[0], arm[1]] as const; // for each kilogram and (rad/s)²: along the radius to the mass
  return Math.abs(arm[0] * force[1] - arm[1] * force[0]) * weights.massKg * weights.count;
}

const mechanisms = fc
  .record({
    massKg: fc.double({ min: 0.02, max: 0.1, noNaN: true }),
    pinRadiusMm: fc.double({ min: 12, max: 35, noNaN: true }),
    armMm: fc.double({ min: 8, max: 25, noNaN: true }),
    restAngleDeg: fc.double({ min: 55, max: 80, noNaN: true }),
    swingPerDeg: fc.double({ min: 1, max: 3, noNaN: true }),
    startRpm: fc.double({ min: 700, max: 1600, noNaN: true }),
    steepness: fc.double({ min: 0.5, max: 1.5, noNaN: true }),
    slackDeg: fc.double({ min: 1, max: 8, noNaN: true }),
    stopRangeDeg: fc.double({ min: 12, max: 26, noNaN: true }),
  })
  .map((m): Mechanism & { weights: SwingingWeights } => {
    const weights: SwingingWeights = { ...SQUARE, ...m };
    const shaft = (m.startRpm / 2) * ((2 * Math.PI) / 60);
    const preloadNm = crossProduct(weights, 0) * shaft * shaft;
    const rateNmPerDeg = preloadNm * m.steepness;
    return {
      strokes: 4,
      weights,
      springs: { preloadNm, rateNmPerDeg, second: { rateNmPerDeg: rateNmPerDeg / 2, slackDeg: m.slackDeg } },
      stopRangeDeg: m.stopRangeDeg,
    };
  });

test('the moment of the weights is the cross product of arm and force', () => {
  fc.assert(
    fc.property(mechanisms, fc.double({ min: 0, max: 12, noNaN: true }), ({ weights }, deg) => {
      expect(weightMoment(weights, deg)).toBeCloseTo(crossProduct(weights, deg), 12);
    }),
    { seed: 1 },
  );
});

/** The advance at a speed by bisection on the balance of moments itself: no formula for the speed anywhere. */
function balanced(mechanism: Mechanism & { weights: SwingingWeights }, rpm: number): number {
  const shaft = ((rpm / 2) * 2 * Math.PI) / 60;
  const { preloadNm, rateNmPerDeg, second } = mechanism.springs;
  const outwards = (crankDeg: number): number => {
    const deg = crankDeg / 2;
    const held =
      preloadNm +
      rateNmPerDeg * deg +
      (second && deg > second.slackDeg ? second.rateNmPerDeg * (deg - second.slackDeg) : 0);
    return shaft * shaft * crossProduct(mechanism.weights, deg) - held;
  };
  let [low, high] = [0, mechanism.stopRangeDeg];
  if (outwards(low) <= 0) return 0;
  if (outwards(high) >= 0) return high;
  for (let i = 0; i < 80; i++) {
    const middle = (low + high) / 2;
    if (outwards(middle) > 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

test('the advance at a speed is where bisection finds the moments in balance', () => {
  fc.assert(
    fc.property(mechanisms, fc.double({ min: 300, max: 6000, noNaN: true }), (mechanism, rpm) => {
      expect(advanceAtSpeed(mechanism, rpm)).toBeCloseTo(balanced(mechanism, rpm), 8);
    }),
    { seed: 2 },
  );
});

test('all spring forces times q bring every speed on the ramp to the root of q, to 1e-9', () => {
  fc.assert(
    fc.property(
      mechanisms,
      fc.double({ min: 0.3, max: 3, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (mechanism, q, share) => {
        const advance = share * mechanism.stopRangeDeg;
        const ratio =
          speedAtAdvance(withSpringFactors(mechanism, q), advance) / speedAtAdvance(mechanism, advance);
        expect(Math.abs(ratio / Math.sqrt(q) - 1)).toBeLessThan(1e-9);
      },
    ),
    { seed: 3 },
  );
});

test('a shorter stop cuts the curve off and leaves the ramp where it was', () => {
  fc.assert(
    fc.property(mechanisms, fc.double({ min: 0.2, max: 0.99, noNaN: true }), (mechanism, share) => {
      const shorter = { ...mechanism, stopRangeDeg: share * mechanism.stopRangeDeg };
      for (let rpm = 500; rpm < 6000; rpm += 250)
        expect(advanceAtSpeed(shorter, rpm)).toBeCloseTo(
          Math.min(shorter.stopRangeDeg, advanceAtSpeed(mechanism, rpm)),
          9,
        );
    }),
    { seed: 4 },
  );
});

test('the second spring’s factor moves only the curve beyond its slack', () => {
  const springs: Springs = {
    preloadNm: 0.12,
    rateNmPerDeg: 0.06,
    second: { rateNmPerDeg: 0.1, slackDeg: 4 },
  };
  const stiffer = withSpringFactors({ ...SIMPLE, springs }, 1, 2);
  expect(speedAtAdvance(stiffer, 8)).toBe(speedAtAdvance(SIMPLE, 8));
  expect(springMoment(stiffer.springs, 10)).toBeCloseTo(1.92, 12); // by hand: 0.72 + 2 × 0.6
});

/** A Hartnell governor: balls of 1.35 kg on arms of 75 mm, the sleeve's arms 62.5 mm, mean radius 100 mm, lift 30 mm;
 * printed answers 6.3 N/mm and 87.54 mm (a theory-of-machines exercise, seen as an excerpt; with k not rounded on the
 * way 6.27559 N/mm and 87.850 mm, computed). Its lift in mm stands here where the distributor's degrees do. */
const GOVERNOR: Mechanism = {
  strokes: 2,
  weights: {
    kind: 'linear',
    atRestKgM2: 2 * 1.35 * 0.082 * 0.075,
    perDegKgM2: 2 * 1.35 * (0.075 / 62.5) * 0.075,
  },
  springs: { preloadNm: 6.27559 * 87.85 * 0.0625, rateNmPerDeg: 6.27559 * 0.0625, second: null },
  stopRangeDeg: 30,
};

test('a governor’s worked example: 435 a minute at the bottom, 420 at the top', () => {
  // the printed digits of the stiffness carry five figures, the speed goes with its root
  expect(speedAtAdvance(GOVERNOR, 0)).toBeCloseTo(435, 1);
  expect(speedAtAdvance(GOVERNOR, 30)).toBeCloseTo(420, 1);
});

test('with the printed, rounded answers the same governor is within a half percent', () => {
  const springs = { preloadNm: 6.3 * 87.54 * 0.0625, rateNmPerDeg: 6.3 * 0.0625, second: null };
  expect(speedAtAdvance({ ...GOVERNOR, springs }, 0) / 435).toBeCloseTo(1, 2);
  expect(speedAtAdvance({ ...GOVERNOR, springs }, 30) / 420).toBeCloseTo(1, 2);
});

test('a mechanism that needs less speed for more advance snaps and has no curve: it is refused', () => {
  expect(() => checkSteady(GOVERNOR)).toThrow(/speed must rise/);
  expect(() => advanceAtSpeed(GOVERNOR, 430)).toThrow(RangeError);
});

// Shigley, Mechanical Engineering Design, a worked spring (from memory): No. 16 music wire, 0.037 in, mean coil
// 0.400 in, 10.5 coils, 11.85 Mpsi: 4.13 lbf/in. 1 lbf/in = 175.1268 N/m, 1 psi = 6894.757 Pa, 1 in = 25.4 mm.
test('a helical spring’s rate agrees with the textbook’s spring', () => {
  const rate = coilSpringRate(11.85e6 * 6894.757, 0.037 * 0.0254, 0.4 * 0.0254, 10.5);
  expect(rate / 175.1268).toBeCloseTo(4.13, 2);
});

test('what cannot be is refused', () => {
  expect(() => speedAtAdvance(SIMPLE, -1)).toThrow(RangeError);
  expect(() => speedAtAdvance(SIMPLE, 20.1)).toThrow(/stop at 20/);
  expect(() => advanceAtSpeed(SIMPLE, NaN)).toThrow(RangeError);
  expect(() => checkSteady({ ...SIMPLE, stopRangeDeg: 0 })).toThrow(/stop/);
  expect(() => speedAtAdvance({ ...SIMPLE, weights: { ...SQUARE, restAngleDeg: 0 } }, 0)).toThrow(/outwards/);
  expect(() => withSpringFactors(SIMPLE, 0)).toThrow(/factor/);
  expect(() => coilSpringRate(0, 1, 1, 1)).toThrow(RangeError);
});
