/** A fit with the tape's zero uncertain: what widens and what must not. */
import { describe, expect, test } from 'vitest';
import { fitCurve } from '../../../core/fit';
import { withZeroError } from '../../../core/tdc/zero-error';
import { createRandom } from '../../../dsp/maker/random';

const curve = (rpm: number): number => 12 + 22 * Math.min(1, Math.max(0, (rpm - 1000) / 1800));
function fitted(seed: number, offDeg = 0): ReturnType<typeof fitCurve> {
  const random = createRandom(seed);
  return fitCurve(
    Array.from({ length: 18 }, (_, i) => {
      const rpm = 600 + 200 * i;
      return { rpm, advanceDeg: curve(rpm) + offDeg + 0.7 * random.normal() };
    }),
  );
}
const PROVED = { tapeZeroSdDeg: 0.5 };

describe('with the zero good to 0.5 degrees', () => {
  const plain = fitted(1);
  const whole = withZeroError(plain, PROVED);
  test('initial and total are wider by the root of the squares (independent errors), their values the same', () => {
    for (const key of ['initialDeg', 'totalDeg'] as const) {
      const [before, after] = [plain[key]!, whole[key]!];
      expect(after.value).toBe(before.value);
      expect((after.high - after.value) ** 2).toBeCloseTo(
        (before.high - before.value) ** 2 + (1.96 * 0.5) ** 2,
        3,
      );
      expect((after.value - after.low) ** 2).toBeCloseTo(
        (before.value - before.low) ** 2 + (1.96 * 0.5) ** 2,
        3,
      );
    }
  });
  test('the band is wider at every speed, the curve is the same', () => {
    for (const rpm of [700, 1500, 3000]) {
      expect(whole.predict(rpm)).toBe(plain.predict(rpm));
      expect(whole.band(rpm)!.high).toBeGreaterThan(plain.band(rpm)!.high);
    }
    expect(whole.band(9000)).toEqual(plain.band(9000) && whole.band(9000));
  });
  test('start, all-in, range, slope and rise do not change: one error in every reading moves none of them', () => {
    expect(whole.startRpm).toBe(plain.startRpm);
    expect(whole.allInRpm).toBe(plain.allInRpm);
    expect(whole.rangeDeg).toBe(plain.rangeDeg);
    expect(whole.slopeDegPer1000Rpm).toBe(plain.slopeDegPer1000Rpm);
    expect(whole.rise(800, 3000)).toEqual(plain.rise(800, 3000));
  });
  test('it says so', () => {
    expect(whole.notes.at(-1)).toMatch(/initial and total hold the tape’s zero, good to 1\.0 degrees/);
  });
});

test('a zero that was not proved, or is sure, changes nothing and says nothing', () => {
  const fit = fitted(2);
  expect(withZeroError(fit, { tapeZeroSdDeg: null })).toBe(fit);
  expect(withZeroError(fit, { tapeZeroSdDeg: 0 })).toBe(fit);
});

test('what is not seen stays not seen, and no note speaks of it', () => {
  const none = withZeroError(fitCurve([{ rpm: 900, advanceDeg: 12 }]), PROVED);
  expect(none.totalDeg).toBeNull();
  expect(none.notes.join()).not.toContain('zero');
  expect(none.band(900)).toBeNull();
});

test('the total, where seen, covers the truth though each run’s tape is off by its own scatter; without it far too seldom', () => {
  const random = createRandom(3);
  const hits = { seen: 0, with: 0, without: 0 };
  for (let seed = 0; seed < 120; seed++) {
    const fit = fitted(1000 + seed, 0.8 * random.normal());
    const total = withZeroError(fit, { tapeZeroSdDeg: 0.8 }).totalDeg;
    if (total === null) continue;
    hits.seen++;
    if (total.low <= 34 && 34 <= total.high) hits.with++;
    if (fit.totalDeg!.low <= 34 && 34 <= fit.totalDeg!.high) hits.without++;
  }
  expect(hits.seen).toBeGreaterThan(100);
  expect(hits.with / hits.seen).toBeGreaterThan(0.9); // 0.95 less two and a half standard errors of 0.02
  expect(hits.without / hits.seen).toBeLessThan(0.8);
});
