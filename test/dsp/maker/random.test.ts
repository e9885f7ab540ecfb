import jStat from 'jstat';
import { expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';

const COUNT = 200_000;
const draws = (draw: () => number, count = COUNT): number[] => Array.from({ length: count }, draw);

/** Kolmogorov's distance from a distribution. */
function distance(values: number[], cdf: (x: number) => number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.reduce((most, x, i) => {
    const p = cdf(x);
    return Math.max(most, Math.abs(p - i / sorted.length), Math.abs(p - (i + 1) / sorted.length));
  }, 0);
}

// Kolmogorov's limit: P(sqrt(n) D > 1.95) = 0.001 (from memory, standard table); the distributions are jstat's.
const LIMIT = 1.95 / Math.sqrt(COUNT);

test('uniform draws follow the uniform distribution', () => {
  expect(distance(draws(createRandom(1).uniform), (x) => x)).toBeLessThan(LIMIT);
});

test('normal draws follow the standard normal distribution', () => {
  expect(distance(draws(createRandom(2).normal), (x) => jStat.normal.cdf(x, 0, 1))).toBeLessThan(LIMIT);
});

test('waits follow the exponential distribution of their mean', () => {
  const random = createRandom(3);
  expect(
    distance(
      draws(() => random.wait(2.5)),
      (x) => jStat.exponential.cdf(x, 1 / 2.5),
    ),
  ).toBeLessThan(LIMIT);
});

test('draws one after the other are not correlated', () => {
  const values = draws(createRandom(4).normal);
  const product = values.slice(1).reduce((sum, x, i) => sum + x * values[i]!, 0) / (COUNT - 1);
  expect(Math.abs(product)).toBeLessThan(4 / Math.sqrt(COUNT)); // sd of a mean of products of unit normals, four of them
});

test('the same seed and stream give the same draws', () => {
  expect(draws(createRandom(9, 3).normal, 50)).toEqual(draws(createRandom(9, 3).normal, 50));
});

test('near seeds and near streams share nothing', () => {
  const firsts = new Set<number>();
  for (let seed = 0; seed < 100; seed++)
    for (let stream = 0; stream < 20; stream++) firsts.add(createRandom(seed, stream).uniform());
  // 2000 words of 32 bits: the chance of even one pair alike is 2000² / 2^33 = 0.0005
  expect(firsts.size).toBe(2000);
});

test('seeds past 32 bits count in full', () => {
  expect(createRandom(2 ** 32 + 5).uniform()).not.toBe(createRandom(5).uniform());
});

test('a seed that is no whole number is refused', () => {
  for (const seed of [-1, 0.5, NaN, 2 ** 60]) expect(() => createRandom(seed)).toThrow(RangeError);
  expect(() => createRandom(1, -2)).toThrow(/stream/);
});
