/** How scatter grows, on made scatter of known growth; weights by hand arithmetic. */
import { describe, expect, test } from 'vitest';
import { readingWeights, scatterGrowth, scatterGrowthAmongSlips } from '../../../core/curve/scatter';
import { createRandom } from '../../../dsp/maker/random';

function made(count: number, growth: number, seed: number): { place: Float64Array; residuals: Float64Array } {
  const random = createRandom(seed);
  const place = Float64Array.from({ length: count }, (_, i) => i / (count - 1));
  return { place, residuals: place.map((p) => 0.8 * Math.exp(growth * (p - 0.5)) * random.normal()) };
}

describe('the growth of the scatter', () => {
  test.each([-1, 0, 1])('of %i is found in 2000 residuals to a tenth', (growth) => {
    const { place, residuals } = made(2000, growth, 3);
    expect(Math.abs(scatterGrowth(place, residuals) - growth)).toBeLessThan(0.1);
  });

  test('in ten residuals is held near what is usual', () => {
    const found = Array.from({ length: 50 }, (_, seed) => {
      const { place, residuals } = made(10, 0, seed + 1);
      return scatterGrowth(place, residuals);
    });
    const mean = found.reduce((sum, growth) => sum + growth, 0) / found.length;
    expect(Math.abs(mean)).toBeLessThan(0.25);
  });

  test('is hardly moved by one slip of ten standard deviations at the top', () => {
    const { place, residuals } = made(30, 0, 8);
    const slipped = residuals.map((r, i) => (i === 29 ? 8 : r));
    const moved = scatterGrowthAmongSlips(place, slipped) - scatterGrowthAmongSlips(place, residuals);
    expect(Math.abs(moved)).toBeLessThan(0.5);
    expect(scatterGrowth(place, slipped) - scatterGrowth(place, residuals)).toBeGreaterThan(moved);
  });
});

describe('the weights of readings', () => {
  const none = Float64Array.of(0, 0, 0);
  test('are all 1 for even scatter', () => {
    expect([...readingWeights([0, 0.5, 1], 0, none, none, 0.8)]).toEqual([1, 1, 1]);
  });
  test('fall with the square of the scatter: growth 1 over the span is a factor of e², and their mean is 1', () => {
    const weights = readingWeights([0, 0.5, 1], 1, none, none, 0.8);
    expect(weights[0]! / weights[2]!).toBeCloseTo(Math.E ** 2, 10);
    expect((weights[0]! + weights[1]! + weights[2]!) / 3).toBeCloseTo(1, 12);
  });
  test('fall where an unsteady speed on a slope adds to it: 50 rpm at 0.016 degrees each is as much as 0.8 degrees', () => {
    const weights = readingWeights([0, 0.5, 1], 0, [0, 0.016, 0], [50, 50, 50], 0.8);
    expect(weights[0]! / weights[1]!).toBeCloseTo(2, 10);
  });
});
