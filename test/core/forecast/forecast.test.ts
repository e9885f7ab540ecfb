import { describe, expect, test } from 'vitest';
import type { Combination, Hold } from '../../../core/forecast/drawn';
import { forecast, type Forecast } from '../../../core/forecast/forecast';
import { mechanismPosterior, type Posterior } from '../../../core/forecast/posterior';
import { madeRun, SQUARE } from '../../helpers/made-runs';

const PARTS = { firstSpring: 'a', secondSpring: 'b', stop: 's' };
const sure = { factorSd: 0, restSd: 0 };
const combination = (first: number, second: number, rangeDeg: number | null): Combination => ({
  firstSpring: { like: 'a', factor: first, ...sure },
  secondSpring: { like: 'b', factor: second, ...sure },
  stop: rangeDeg === null ? { like: 's' } : { rangeDeg },
});
const of = (options: { count?: number; fromRpm?: number; toRpm?: number } = {}): Posterior =>
  mechanismPosterior([
    { points: madeRun(SQUARE, { seed: 2, count: 18, sdDeg: 0.5, ...options }), parts: PARTS },
  ]);
const whole = of();
const asRun = forecast(whole, combination(1, 1, null), 'total');
const holds = (result: Forecast, rpm: number, truth: number): boolean => {
  const { low, high } = result.at(rpm);
  return low <= truth && truth <= high;
};

describe('nothing changed', () => {
  test('the forecast is the curve that was read', () => {
    for (let rpm = 600; rpm <= 4000; rpm += 200)
      expect(Math.abs(asRun.at(rpm).value - SQUARE(rpm))).toBeLessThan(1);
    expect(asRun.moveDeg).toEqual({ value: 0, low: 0, high: 0 });
    expect(asRun.beyondDeg).toBeLessThan(0.2);
  });
  test('the curve has a row every 50 rpm from 600 to past the all-in speed', () => {
    const speeds = asRun.curve.map(({ rpm }) => rpm);
    expect(speeds).toEqual(speeds.map((_, i) => 600 + 50 * i));
    expect(speeds.at(-1)).toBeGreaterThan(asRun.allInRpm!.high);
    for (const { advanceDeg, low, high } of asRun.curve) {
      expect(low).toBeLessThanOrEqual(advanceDeg);
      expect(high).toBeGreaterThanOrEqual(advanceDeg);
    }
  });
});

describe('other springs', () => {
  test('all forces times q bring start and all-in to the root of q and leave initial and total', () => {
    const lighter = forecast(whole, combination(0.64, 0.64, null), 'total');
    // figures are means over drawn mechanisms, each of them moved by the root exactly
    for (const name of ['startRpm', 'allInRpm'] as const)
      for (const end of ['value', 'low', 'high'] as const)
        expect(Math.abs(lighter[name]![end] / asRun[name]![end] / 0.8 - 1)).toBeLessThan(1e-9);
    expect(lighter.initialDeg!.value).toBeCloseTo(asRun.initialDeg!.value, 9);
    expect(lighter.totalDeg!.value).toBeCloseTo(asRun.totalDeg!.value, 9);
    for (let rpm = 600; rpm <= 3600; rpm += 200) expect(holds(lighter, rpm, SQUARE(rpm / 0.8))).toBe(true);
  });
  test('a factor that is not known to the last digit widens the band', () => {
    const width = (restSd: number): number => {
      const fitted = combination(0.8, 0.8, null);
      const { low, high } = forecast(
        whole,
        { ...fitted, firstSpring: { ...fitted.firstSpring, factorSd: restSd, restSd } },
        'total',
      ).at(2000);
      return high - low;
    };
    expect(width(0.1)).toBeGreaterThan(1.2 * width(0));
  });
});

describe('another stop', () => {
  test('a shorter one cuts the ramp: with the total kept the initial rises by what the range lost', () => {
    const short = forecast(whole, combination(1, 1, 14), 'total');
    expect(short.totalDeg!.value).toBeCloseTo(asRun.totalDeg!.value, 9);
    expect(short.initialDeg!.value).toBeCloseTo(asRun.totalDeg!.value - 14, 9);
    expect(short.beyondDeg).toBe(0);
    expect(short.rangeDeg).toEqual({ value: 14, low: 14, high: 14 });
    // u = 14 at √(1 + 0.4·14) = 2569 rpm
    expect(Math.abs(short.allInRpm!.value - 2569)).toBeLessThan(80);
  });
  test('with the initial kept the total falls instead, and the housing stays', () => {
    const short = forecast(whole, combination(1, 1, 14), 'initial');
    expect(short.initialDeg!.value).toBeCloseTo(asRun.initialDeg!.value, 9);
    expect(short.totalDeg!.value).toBeCloseTo(asRun.initialDeg!.value + 14, 9);
    expect(short.moveDeg).toEqual({ value: 0, low: 0, high: 0 });
  });
  test('a longer one is drawn on: the band widens beyond what was read and it is said by how much', () => {
    const long = forecast(whole, combination(1, 1, 26), 'initial');
    expect(Math.abs(long.beyondDeg - 6)).toBeLessThan(1);
    expect(long.beyondShare).toBeCloseTo(long.beyondDeg / 26, 9);
    const width = (rpm: number): number => long.at(rpm).high - long.at(rpm).low;
    expect(width(3250)).toBeGreaterThan(1.3 * width(2500)); // 24.9 degrees beyond the initial, were the ramp to go on
    expect(long.notes.join(' ')).toMatch(/26\.0 degrees goes \d\.\d degrees .* beyond what was read/);
    expect(holds(long, 3250, 12 + (3.25 ** 2 - 1) / 0.4)).toBe(true);
  });
  test('a total that is set is met whatever the stop', () => {
    const set = forecast(whole, combination(0.8, 0.8, 18), { totalDeg: 34 });
    expect(set.totalDeg!.value).toBeCloseTo(34, 9);
    expect(set.initialDeg!.value).toBeCloseTo(16, 9);
  });
});

describe('what the readings do not show', () => {
  const figures = ({ initialDeg, startRpm, allInRpm, totalDeg }: Forecast): (string | null)[] =>
    [initialDeg, startRpm, allInRpm, totalDeg].map((figure) => figure && 'seen');
  const make = (posterior: Posterior, rangeDeg: number | null, hold: Hold): Forecast =>
    forecast(posterior, combination(0.9, 0.9, rangeDeg), hold);

  test('total and all-in stay null where no reading reaches the stop, and the band opens above', () => {
    const below = of({ toRpm: 2500 });
    const same = make(below, null, 'total');
    expect(figures(same)).toEqual(['seen', 'seen', null, null]);
    expect(same.at(3600).high - same.at(3600).low).toBeGreaterThan(
      4 * (same.at(1500).high - same.at(1500).low),
    );
    expect(same.notes.join(' ')).toContain('do not reach the stop');
  });
  test('a stop whose range is known shows them again where the initial is kept', () => {
    const below = of({ toRpm: 2500 });
    const stopped = make(below, 12, 'initial');
    expect(figures(stopped)).toEqual(['seen', 'seen', 'seen', 'seen']);
    expect(Math.abs(stopped.totalDeg!.value - 24)).toBeLessThan(1);
    const kept = make(below, 12, 'total');
    expect(figures(kept)).toEqual([null, 'seen', 'seen', null]);
    expect(kept.notes[0]).toContain('The total is to stay, but the readings do not show it');
  });
  test('initial and start stay null where the lowest reading lies above the start', () => {
    const above = of({ fromRpm: 1700 });
    expect(figures(make(above, null, 'total'))).toEqual([null, null, 'seen', 'seen']);
    expect(figures(make(above, 14, 'total'))).toEqual(['seen', null, null, 'seen']);
    expect(figures(make(above, 14, 'initial'))).toEqual([null, null, null, null]);
  });
});

test('the tape’s own uncertainty widens levels, and neither start nor all-in', () => {
  const unsure = {
    ...whole,
    runs: whole.runs.map((run) => ({ ...run, zeroSdDeg: 1.5 })),
  };
  const result = forecast(unsure, combination(1, 1, null), 'total');
  const width = ({ low, high }: { low: number; high: number }): number => high - low;
  // two independent errors add in squares; 95 % of a normal one lie within 1.96 to either side
  const expected = Math.hypot(width(asRun.totalDeg!), 2 * 1.96 * 1.5);
  expect(Math.abs(width(result.totalDeg!) / expected - 1)).toBeLessThan(0.08);
  expect(result.startRpm).toEqual(asRun.startRpm);
  expect(result.allInRpm).toEqual(asRun.allInRpm);
});

test('what cannot be is refused', () => {
  expect(() => forecast(whole, combination(0, 1, null), 'total')).toThrow(/factor/);
  expect(() => forecast(whole, combination(1, 1, 0), 'total')).toThrow(/range/);
  expect(() => forecast(whole, combination(1, 1, null), 'total', 4)).toThrow(RangeError);
  const other = { ...combination(1, 1, null), stop: { like: 'none' } };
  expect(() => forecast(whole, other, 'total')).toThrow(/a stop of a run/);
});
