import { describe, expect, test } from 'vitest';
import { evenChance, normalChance } from '../../../core/forecast/chance';
import { climb, draw, type Densities, type Walk } from '../../../core/forecast/sampler';

const WALK: Walk = { steps: 20, roundsAtStep: 25, rounds: 2000, keepEvery: 20, seed: 1 };

function startsOver(size: number, half: number, count = 60): Float64Array[] {
  const even = evenChance(4);
  return Array.from({ length: count }, () =>
    Float64Array.from({ length: size }, () => half * (2 * even() - 1)),
  );
}
const boxed = (half: number) => (p: Float64Array) => (p.every((x) => Math.abs(x) < half) ? 0 : -Infinity);
const mean = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length;

describe('draws from a density', () => {
  test('have the mean, spread and correlation of a normal one that is known', () => {
    // mean (1, -2), standard deviations 1 and 2, correlation 0.9
    const likelihood = (p: Float64Array): number => {
      const [x, y] = [p[0]! - 1, (p[1]! + 2) / 2];
      return -(x * x - 1.8 * x * y + y * y) / (2 * (1 - 0.81));
    };
    const points = draw({ prior: boxed(30), likelihood }, startsOver(2, 20), WALK);
    const [xs, ys] = [points.map((p) => p[0]!), points.map((p) => p[1]!)];
    const spread = (values: readonly number[]): number => {
      const middle = mean(values);
      return Math.sqrt(mean(values.map((x) => (x - middle) ** 2)));
    };
    expect(Math.abs(mean(xs) - 1)).toBeLessThan(0.1); // 6000 points, some hundreds of them independent
    expect(Math.abs(mean(ys) + 2)).toBeLessThan(0.2);
    expect(Math.abs(spread(xs) - 1)).toBeLessThan(0.1);
    expect(Math.abs(spread(ys) - 2)).toBeLessThan(0.2);
    const both = mean(xs.map((x, i) => (x - mean(xs)) * (ys[i]! - mean(ys))));
    expect(Math.abs(both / spread(xs) / spread(ys) - 0.9)).toBeLessThan(0.03);
  });

  test('give hills far apart their share: 3 in 4 on the one that holds three times as much', () => {
    const likelihood = (p: Float64Array): number =>
      Math.log(
        0.75 * Math.exp(-((p[0]! - 8) ** 2) / 0.5) + 0.25 * Math.exp(-((p[0]! + 8) ** 2) / 0.5) + 1e-300,
      );
    const points = draw({ prior: boxed(20), likelihood }, startsOver(1, 20, 200), WALK);
    expect(Math.abs(mean(points.map((p) => (p[0]! > 0 ? 1 : 0))) - 0.75)).toBeLessThan(0.1);
  });

  test('are the same for the same seed and stay where the prior lets them', () => {
    const densities: Densities = { prior: boxed(1), likelihood: (p) => p[0]! };
    const walk = { ...WALK, rounds: 100 };
    const points = draw(densities, startsOver(1, 1), walk);
    expect(points).toEqual(draw(densities, startsOver(1, 1), walk));
    expect(points.every((p) => Math.abs(p[0]!) < 1)).toBe(true);
    // mean of e^x on -1 to 1: (e + 1/e) / (e - 1/e) - 1 = coth 1 - 1 = 0.3130 (by hand)
    expect(mean(draw(densities, startsOver(1, 1), WALK).map((p) => p[0]!))).toBeCloseTo(0.313, 1);
  });

  test('too few starting points are refused', () => {
    expect(() => draw({ prior: () => 0, likelihood: () => 0 }, startsOver(1, 1, 3), WALK)).toThrow(
      /4 starting/,
    );
    expect(() => climb({ prior: () => 0, likelihood: () => 0 }, [], 1, 1)).toThrow(RangeError);
  });
});

// Rosenbrock's valley has its one lowest place at (1, 1), value 0 (H. H. Rosenbrock, Computer J. 3 (1960) 175, from
// memory; by hand: both squares vanish there).
test('the climb finds the end of Rosenbrock’s valley', () => {
  const likelihood = (p: Float64Array): number => -(100 * (p[1]! - p[0]! * p[0]!) ** 2 + (1 - p[0]!) ** 2);
  const { point, height } = climb({ prior: boxed(10), likelihood }, startsOver(2, 5), 1500, 2);
  expect(point[0]).toBeCloseTo(1, 3);
  expect(point[1]).toBeCloseTo(1, 3);
  expect(height).toBeGreaterThan(-1e-6);
});

test('normal numbers have mean 0 and deviation 1, even ones fill 0 to 1', () => {
  const normal = normalChance(evenChance(9));
  const values = Array.from({ length: 20_000 }, normal);
  expect(Math.abs(mean(values))).toBeLessThan(0.03); // four standard errors of 1/√20000
  expect(Math.abs(mean(values.map((x) => x * x)) - 1)).toBeLessThan(0.04);
  const even = evenChance(3);
  const tenths = new Array<number>(10).fill(0);
  for (let i = 0; i < 10_000; i++) tenths[Math.floor(10 * even())]!++;
  for (const count of tenths) expect(Math.abs(count - 1000)).toBeLessThan(120); // four times √(1000 × 0.9)
});
