import { expect, test } from 'vitest';
import { LeadWatch } from '../../../dsp/beat/lead-watch';
import { createRandom } from '../../../dsp/maker/random';

/** How many strikes it takes to see that they are several leads'; null: it is not seen in so many.
 * @param levelOf usual height of strike n */
function seenAfter(
  levelOf: (n: number) => number,
  strikes: number,
  seed: number,
  scatter = 0.12,
): number | null {
  const watch = new LeadWatch();
  const random = createRandom(seed);
  watch.startAnew();
  for (let n = 0; n < strikes; n++)
    if (watch.take(Math.log(levelOf(n)) + scatter * random.normal(), n === 0 ? 0 : 1)) return n + 1;
  return null;
}

const SEEDS = Array.from({ length: 50 }, (_, seed) => seed);

test.each([
  { leads: 2, others: 0.5, within: 24 },
  { leads: 4, others: 0.62, within: 72 },
  { leads: 8, others: 0.2, within: 48 },
  { leads: 12, others: 0.2, within: 72 },
])('of $leads leads, the others $others as tall, the clamped one is seen within $within strikes', (each) => {
  const levelOf = (n: number): number => (n % each.leads === 1 ? 1 : each.others);
  for (const seed of SEEDS) expect(seenAfter(levelOf, 300, seed)).toBeLessThanOrEqual(each.within);
});

test('one lead’s strikes stay one lead’s: steady, in a gain control that pumps, growing, and one in nine twice as tall by chance', () => {
  for (const seed of SEEDS) {
    const chance = createRandom(seed, 1);
    expect(seenAfter(() => 1, 2000, seed)).toBe(null);
    expect(seenAfter((n) => Math.exp(0.9 * Math.sin((2 * Math.PI * n) / 7.3)), 2000, seed)).toBe(null);
    expect(seenAfter((n) => 1 + n / 100, 2000, seed)).toBe(null);
    expect(seenAfter(() => (chance.uniform() < 1 / 9 ? 2 : 1), 2000, seed)).toBe(null);
  }
});

test('leads all alike are not told apart', () => {
  for (const seed of SEEDS) expect(seenAfter((n) => 1 + 0.05 * (n % 8), 1000, seed)).toBe(null);
});
