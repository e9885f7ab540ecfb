/** Vacuum advance: its figures from made readings of known truth, and the total at cruise. */
import { describe, expect, test } from 'vitest';
import { fitCurve } from '../../core/fit';
import type { VacuumReading } from '../../core/job';
import { cruiseTotal, fitVacuum, KPA_PER, vacuumPoints, type VacuumPoint } from '../../core/vacuum';
import { createRandom } from '../../dsp/maker/random';

test('10 inHg are 33.86389 kPa and 338.6389 mbar (3.386389 kPa each, NIST SP 811, from memory)', () => {
  expect(10 * KPA_PER.inHg).toBeCloseTo(33.86389, 10);
  expect((10 * KPA_PER.inHg) / KPA_PER.mbar).toBeCloseTo(338.6389, 9);
});

// A can as the trade has them (from memory: 10 to 16 degrees at light load): nothing to 5 inHg, full at 12.
const CAN = { baseDeg: 24, startKpa: 5 * KPA_PER.inHg, fullKpa: 12 * KPA_PER.inHg, rangeDeg: 14 };
const canDeg = (kpa: number): number =>
  CAN.baseDeg + CAN.rangeDeg * Math.min(1, Math.max(0, (kpa - CAN.startKpa) / (CAN.fullKpa - CAN.startKpa)));
/** Every inch of mercury from 0 to 18, read to a tenth of one. */
function readings(seed: number, sdDeg = 0.7): VacuumPoint[] {
  const random = createRandom(seed);
  return Array.from({ length: 19 }, (_, inches) => ({
    vacuumKpa: Math.max(0, inches + 0.1 * random.normal()) * KPA_PER.inHg,
    advanceDeg: canDeg(inches * KPA_PER.inHg) + sdDeg * random.normal(),
  }));
}

describe('the figures', () => {
  test('come back from readings with a scatter of 0.7 degrees', () => {
    const fit = fitVacuum(readings(1));
    expect(Math.abs(fit.baseDeg!.value - 24)).toBeLessThan(0.8);
    expect(Math.abs(fit.startKpa!.value - CAN.startKpa)).toBeLessThan(3);
    expect(Math.abs(fit.fullKpa!.value - CAN.fullKpa)).toBeLessThan(3);
    expect(Math.abs(fit.rangeDeg!.value - 14)).toBeLessThan(1);
    expect(fit.n).toBe(19);
  });
  test('hold the truth in their 95 % intervals, over 60 sets', () => {
    const hits = { startKpa: 0, fullKpa: 0, rangeDeg: 0 };
    const seen = { startKpa: 0, fullKpa: 0, rangeDeg: 0 };
    for (let seed = 100; seed < 160; seed++) {
      const fit = fitVacuum(readings(seed));
      for (const key of ['startKpa', 'fullKpa', 'rangeDeg'] as const) {
        if (fit[key] === null) continue;
        seen[key]++;
        if (fit[key].low <= CAN[key] && CAN[key] <= fit[key].high) hits[key]++;
      }
    }
    for (const key of ['startKpa', 'fullKpa', 'rangeDeg'] as const) {
      expect(seen[key]).toBeGreaterThan(50);
      expect(hits[key] / seen[key]).toBeGreaterThanOrEqual(0.88); // 0.95 less two and a half standard errors of 0.028
    }
  });
  test('are not claimed where the readings do not reach: no full, no range below 9 inHg', () => {
    const fit = fitVacuum(readings(2).slice(0, 10));
    expect(fit.fullKpa).toBeNull();
    expect(fit.rangeDeg).toBeNull();
    expect(fit.added(60)).toBeNull();
  });
  test('are not claimed for a can that does not pull', () => {
    const random = createRandom(3);
    const flat = readings(3).map(({ vacuumKpa }) => ({ vacuumKpa, advanceDeg: 24 + 0.7 * random.normal() }));
    const fit = fitVacuum(flat);
    expect(fit.startKpa).toBeNull();
    expect(fit.rangeDeg).toBeNull();
  });
  test('are none for no readings, and a vacuum below 0 is refused', () => {
    expect(fitVacuum([]).baseDeg).toBeNull();
    expect(() => fitVacuum([{ vacuumKpa: -1, advanceDeg: 20 }])).toThrow(/0 kPa or more, got -1/);
  });
  test('what a vacuum adds runs with the can: half the range half way up', () => {
    const added = fitVacuum(readings(4, 0.1)).added((CAN.startKpa + CAN.fullKpa) / 2)!;
    expect(Math.abs(added.value - 7)).toBeLessThan(0.5);
  });
});

const reading = (vacuumKpa: number, seenDeg: number, rpm: number | null): VacuumReading => ({
  ...{ id: 'v', at: '2026-05-01T10:00:00Z', vacuumKpa, seenDeg, rpm, note: '' },
});
const NONE = { tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 0 };

describe('the readings for the fit', () => {
  const curve = { predict: (rpm: number) => (rpm < 3000 ? 10 + rpm / 200 : null) };
  test('are corrected for tape and light: 30 − 2 + 6·2000·100e-6', () => {
    const { points } = vacuumPoints(
      [reading(20, 30, 2000)],
      { ...NONE, tapeZeroErrorDeg: 2, lightDelayUs: 100 },
      null,
    );
    expect(points[0]!.advanceDeg).toBeCloseTo(29.2, 10);
  });
  test('at one speed stay as they are', () => {
    const one = vacuumPoints([reading(0, 20, 2000), reading(50, 34, 2030)], NONE, curve);
    expect(one).toMatchObject({ isOverCurve: false, isMixed: false });
    expect(one.points.map(({ advanceDeg }) => advanceDeg)).toEqual([20, 34]);
  });
  test('at different speeds lose what the weights give there: 20 and 22.5', () => {
    const two = vacuumPoints([reading(0, 20, 2000), reading(50, 36.5, 2500)], NONE, curve);
    expect(two).toMatchObject({ isOverCurve: true, isMixed: false });
    expect(two.points.map(({ advanceDeg }) => advanceDeg)).toEqual([0, 14]);
  });
  test('at different speeds without the curve there are called mixed', () => {
    const speeds = [reading(0, 20, 2000), reading(50, 36, 3500)];
    expect(vacuumPoints(speeds, NONE, curve).isMixed).toBe(true);
    expect(vacuumPoints(speeds, NONE, null).isMixed).toBe(true);
  });
});

describe('the total at cruise', () => {
  const curve = fitCurve(
    Array.from({ length: 20 }, (_, i) => {
      const rpm = 600 + 150 * i;
      const off = [0.3, -0.4, 0.1, -0.2, 0.2][i % 5]!;
      return { rpm, advanceDeg: 12 + 20 * Math.min(1, Math.max(0, (rpm - 1000) / 1600)) + off };
    }),
  );
  const can = fitVacuum(readings(5, 0.3));
  test('is both together, 32 and 14, and wider than either', () => {
    const { totalDeg, centrifugalDeg, addedDeg } = cruiseTotal(curve, can, {
      rpm: 2900,
      vacuumKpa: null,
      limitDeg: null,
    });
    expect(Math.abs(totalDeg!.value - 46)).toBeLessThan(0.7);
    const width = (figure: { low: number; high: number } | null): number => figure!.high - figure!.low;
    expect(width(totalDeg)).toBeGreaterThan(Math.max(width(centrifugalDeg), width(addedDeg)));
  });
  test.each([
    [52, 'under', /under the limit of 52\.0°/],
    [46, 'open', /may be over the limit of 46\.0°/],
    [40, 'over', /is over the limit of 40\.0°: less vacuum advance/],
  ] as const)('against a limit of %i is %s', (limitDeg, verdict, words) => {
    const told = cruiseTotal(curve, can, { rpm: 2900, vacuumKpa: null, limitDeg });
    expect(told.verdict).toBe(verdict);
    expect(told.text).toMatch(words);
  });
  test('at a vacuum below the start is the weights’ alone', () => {
    const told = cruiseTotal(curve, can, { rpm: 2900, vacuumKpa: 8, limitDeg: null });
    expect(Math.abs(told.addedDeg!.value)).toBeLessThan(0.1);
  });
  test('is not made up where curve or can are not seen', () => {
    const wish = { rpm: 9000, vacuumKpa: null, limitDeg: 50 };
    expect(cruiseTotal(null, can, wish)).toMatchObject({ totalDeg: null, verdict: null });
    expect(cruiseTotal(null, can, wish).text).toMatch(/centrifugal curve is not seen at 9000 rpm/);
    const told = cruiseTotal(curve, fitVacuum([]), { ...wish, rpm: 2900 });
    expect(told.totalDeg).toBeNull();
    expect(told.text).toMatch(/do not show how much the vacuum adds/);
  });
});
