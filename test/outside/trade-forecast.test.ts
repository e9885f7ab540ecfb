/** The forecast against the trade's own sums (common practice). */
import { describe, expect, test } from 'vitest';
import { housingDeg } from '../../core/angle';
import { forecast } from '../../core/forecast/forecast';
import { mechanismPosterior } from '../../core/forecast/posterior';

// Common practice: a total of 35 with 19 at idle means a range of 16. To have 12 at idle with the same total the stop
// must give 23: the housing is retarded by 7 crank degrees, which is 3.5 at the housing of a four-stroke.
describe('a total of 35 with 19 at idle', () => {
  const curve = (rpm: number): number => 19 + 16 * Math.min(1, Math.max(0, ((rpm / 1000) ** 2 - 1.3) / 7.7));
  const points = Array.from({ length: 36 }, (_, i) => {
    const rpm = 600 + 100 * i;
    return { rpm, advanceDeg: curve(rpm) + [0.3, -0.3, 0.1, -0.2, 0.2, -0.1][i % 6]! };
  });
  const parts = { firstSpring: 'a', secondSpring: 'b', stop: 's' };
  const posterior = mechanismPosterior([{ points, parts }]);
  const springs = {
    firstSpring: { like: 'a', factor: 1, factorSd: 0, restSd: 0 },
    secondSpring: { like: 'b', factor: 1, factorSd: 0, restSd: 0 },
  };

  test('has a range of 16 degrees', () => {
    const { rangeDeg } = forecast(posterior, { ...springs, stop: { like: 's' } }, 'total');
    expect(Math.abs(rangeDeg!.value - 16)).toBeLessThan(0.4);
    expect(rangeDeg!.low).toBeLessThan(16);
    expect(rangeDeg!.high).toBeGreaterThan(16);
  });

  test('reads 12 at idle with the same total when the stop gives 23, the housing moved by half of 7', () => {
    const { initialDeg, totalDeg, moveDeg, at } = forecast(
      posterior,
      { ...springs, stop: { rangeDeg: 23 } },
      'total',
    );
    expect(Math.abs(initialDeg!.value - 12)).toBeLessThan(0.3);
    expect(Math.abs(at(700).value - 12)).toBeLessThan(0.3);
    expect(Math.abs(totalDeg!.value - 35)).toBeLessThan(0.3);
    expect(totalDeg!.value - initialDeg!.value).toBeCloseTo(23, 9);
    expect(Math.abs(moveDeg!.value + 7)).toBeLessThan(0.4);
    expect(housingDeg(moveDeg!.value, 4)).toBeCloseTo(moveDeg!.value / 2, 12);
  });
});
