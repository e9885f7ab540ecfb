import { expect, test } from 'vitest';
import { strikePath } from '../../web/views/sound/strike-path';

test('the picture fills its height with the largest excursion, up or down', () => {
  const strike = strikePath(Float32Array.of(0, -0.5, 0.25), 1000, 100, 48)!;
  // middle 24, room 20: -0.5 is a full excursion down, 0.25 half a one up (hand arithmetic)
  expect(strike.path).toBe('M0.0 24.0L50.0 44.0L100.0 14.0');
  expect(strike.fullShare).toBeCloseTo(0.5, 6);
});
test('three samples at 1 kHz span two milliseconds', () =>
  expect(strikePath(Float32Array.of(0, 1, 0), 1000, 100, 48)!.spanMs).toBe(2));
test('nothing to draw gives no picture', () => {
  expect(strikePath(new Float32Array(), 48_000, 100, 48)).toBeNull();
  expect(strikePath(Float32Array.of(0, 1), 0, 100, 48)).toBeNull();
});
test('silence draws a level line, not a division by zero', () =>
  expect(strikePath(new Float32Array(3), 48_000, 100, 48)!.path).not.toContain('NaN'));
