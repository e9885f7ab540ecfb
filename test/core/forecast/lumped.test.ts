import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { advanceAtSpeed, speedAtAdvance, type Mechanism } from '../../../core/mechanism';
import {
  advanceOnRamp,
  advanceWith,
  speedWith,
  squareAt,
  UNCHANGED,
  type Lumped,
} from '../../../core/forecast/lumped';

const PLAIN: Lumped = { power: 2, rest: 1, rate: 0.4, secondRate: 0, slackDeg: 0, growth: 0 };

const lumps = fc.record({
  power: fc.constantFrom(1 as const, 2 as const),
  rest: fc.double({ min: 0.4, max: 2, noNaN: true }),
  rate: fc.double({ min: 0.1, max: 0.6, noNaN: true }),
  secondRate: fc.double({ min: 0, max: 1, noNaN: true }),
  slackDeg: fc.double({ min: 0, max: 20, noNaN: true }),
  growth: fc.double({ min: -0.02, max: 0.03, noNaN: true }),
});
const balanced = lumps
  .map((lumped): Lumped => (lumped.power === 1 ? { ...lumped, growth: 0 } : lumped))
  .filter(({ rate, growth, rest }) => rate > growth * rest + 0.02);
const degrees = fc.double({ min: 0, max: 25, noNaN: true });

describe('the lumped mechanism', () => {
  // By hand: w² = 1 + 0.4 u in krpm²: 20 degrees at 3000 rpm, 7.5 at 2000.
  test('has an advance linear in the square of the speed', () => {
    expect(advanceOnRamp(PLAIN, 3000, 30)).toBeCloseTo(20, 12);
    expect(advanceOnRamp(PLAIN, 2000, 30)).toBeCloseTo(7.5, 12);
    expect(advanceOnRamp(PLAIN, 999, 30)).toBe(0);
    expect(advanceOnRamp(PLAIN, 3000, 16)).toBe(16);
  });

  // By hand, with 0.4 more from 5 degrees on: 1 + 0.4·10 + 0.4·5 = 7 at 10 degrees.
  test('takes a second spring from its slack on', () => {
    const both = { ...PLAIN, secondRate: 0.4, slackDeg: 5 };
    expect(squareAt(both, 5, UNCHANGED)).toBeCloseTo(3, 12);
    expect(squareAt(both, 10, UNCHANGED)).toBeCloseTo(7, 12);
    expect(squareAt(both, 10, { rest: 1, rate: 1, second: 2 })).toBeCloseTo(9, 12);
    expect(squareAt(both, 10, { rest: 2, rate: 1, second: 1 })).toBeCloseTo(8, 12);
  });

  test('gives back the advance whose speed it gave', () => {
    fc.assert(
      fc.property(balanced, degrees, (lumped, u) => {
        expect(advanceOnRamp(lumped, speedWith(lumped, UNCHANGED, u), 30)).toBeCloseTo(u, 6);
        expect(advanceWith(lumped, UNCHANGED, speedWith(lumped, UNCHANGED, u), 30)).toBeCloseTo(u, 4);
      }),
      { seed: 11 },
    );
  });

  test('all spring forces times q bring every speed to the root of q, to 1e-9, whichever curve it is', () => {
    fc.assert(
      fc.property(balanced, degrees, fc.double({ min: 0.2, max: 4, noNaN: true }), (lumped, u, q) => {
        const ratio = speedWith(lumped, { rest: q, rate: q, second: q }, u) / speedWith(lumped, UNCHANGED, u);
        expect(Math.abs(ratio / Math.sqrt(q) - 1)).toBeLessThan(1e-9);
      }),
      { seed: 12 },
    );
  });

  test('is the mechanism of weights that grow evenly, lumped', () => {
    const mechanism: Mechanism = {
      strokes: 4,
      weights: { kind: 'linear', atRestKgM2: 3e-5, perDegKgM2: 4e-7 },
      springs: { preloadNm: 0.12, rateNmPerDeg: 0.06, second: { rateNmPerDeg: 0.05, slackDeg: 4 } },
      stopRangeDeg: 24,
    };
    // krpm at the crank to rad/s at the shaft: 1000 / 2 × 2π / 60; distributor degrees are half the crank's
    const each = ((1000 / 2) * 2 * Math.PI) / 60;
    const unit = 3e-5 * each * each;
    const lumped: Lumped = {
      ...{ power: 2, rest: 0.12 / unit, rate: 0.06 / 2 / unit, secondRate: 0.05 / 2 / unit },
      ...{ slackDeg: 8, growth: 4e-7 / 2 / 3e-5 },
    };
    for (let u = 0; u <= 24; u += 1.5)
      expect(speedWith(lumped, UNCHANGED, u)).toBeCloseTo(speedAtAdvance(mechanism, u), 6);
    for (let rpm = 600; rpm < 5000; rpm += 130)
      expect(advanceOnRamp(lumped, rpm, 24)).toBeCloseTo(advanceAtSpeed(mechanism, rpm), 8);
  });
});
