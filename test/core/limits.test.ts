/** Limits watched. Expected answers: which number is greater. */
import { expect, test } from 'vitest';
import { fitCurve } from '../../core/fit';
import { limitWarnings, readingWarning, targetLimitProblems, watchedOf } from '../../core/limits';
import { NO_LIMITS } from '../../core/new-job';

const figure = (value: number, half = 0.5) => ({ value, low: value - half, high: value + half });
const LIMITS = { mostTotalDeg: 36, mostIdleDeg: 14, mostCruiseDeg: 50 };

test('a figure above its limit is told with its interval and the limit, each limit by its own name', () => {
  const all = limitWarnings({ totalDeg: figure(38), idleDeg: figure(16), cruiseDeg: figure(52) }, LIMITS);
  expect(all.map(({ limit, sure }) => [limit, sure])).toEqual([
    ['total', true],
    ['idle', true],
    ['cruise', true],
  ]);
  expect(all[0]!.text).toBe('The total, 38.0 degrees (37.5 to 38.5), lies above your limit of 36.0.');
});

test('where only a part of the interval lies above, it is left open', () => {
  const [one] = limitWarnings({ totalDeg: figure(36.2), idleDeg: null }, LIMITS);
  expect(one!.sure).toBe(false);
  expect(one!.text).toContain('leave it open');
});

test('nothing is told at a limit, below it, without one, or of what is not seen', () => {
  expect(limitWarnings({ totalDeg: figure(36), idleDeg: figure(14) }, LIMITS)).toEqual([]);
  expect(limitWarnings({ totalDeg: figure(60), idleDeg: figure(60) }, NO_LIMITS)).toEqual([]);
  expect(limitWarnings({ totalDeg: null, idleDeg: null, cruiseDeg: null }, LIMITS)).toEqual([]);
});

// Level at 12 to 1000 rpm, then 1 degree each 100 rpm without end.
const CLIMB = Array.from({ length: 33 }, (_, i) => {
  const rpm = 600 + 100 * i;
  return { rpm, advanceDeg: 12 + Math.max(0, (rpm - 1000) / 100) + [0.2, -0.2, 0.1, -0.1][i % 4]! };
});

test('a total that is not seen yet is watched by the curve at the highest reading', () => {
  const fit = fitCurve(CLIMB);
  expect(fit.totalDeg).toBeNull();
  const watched = watchedOf(fit, CLIMB, { idleRpm: 800 });
  expect(Math.abs(watched.totalDeg!.value - 40)).toBeLessThan(0.5); // 12 + (3800 − 1000)/100
  expect(Math.abs(watched.idleDeg!.value - 12)).toBeLessThan(0.3);
  expect(limitWarnings(watched, LIMITS).map(({ limit }) => limit)).toEqual(['total']);
  expect(watchedOf(fit, CLIMB, { idleRpm: null }).idleDeg).toBeNull();
});

test('a reading is warned of as it is taken: at any speed by the total, up to idle by idle', () => {
  const engine = { idleRpm: 800 };
  expect(readingWarning({ rpm: 2900, advanceDeg: 37 }, LIMITS, engine)).toContain('limit of 36.0');
  expect(readingWarning({ rpm: 790, advanceDeg: 15 }, LIMITS, engine)).toContain('at idle');
  expect(readingWarning({ rpm: 1400, advanceDeg: 15 }, LIMITS, engine)).toBeNull();
  expect(readingWarning({ rpm: 790, advanceDeg: 15 }, LIMITS, { idleRpm: null })).toBeNull();
  expect(readingWarning({ rpm: 2900, advanceDeg: 60 }, NO_LIMITS, engine)).toBeNull();
});

test('a target that asks for more than the limits is told, one that does not is not', () => {
  const target = {
    corners: [
      { rpm: 900, advanceDeg: 16 },
      { rpm: 2800, advanceDeg: 38 },
    ],
    bandDeg: 2,
  };
  expect(targetLimitProblems(target, LIMITS, { idleRpm: 800 })).toHaveLength(2);
  expect(targetLimitProblems(target, NO_LIMITS, { idleRpm: 800 })).toEqual([]);
  expect(() => targetLimitProblems({ ...target, corners: [] }, LIMITS, { idleRpm: 800 })).toThrow(RangeError);
});
