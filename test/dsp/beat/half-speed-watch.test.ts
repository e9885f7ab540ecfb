import { expect, test } from 'vitest';
import { HalfSpeedWatch } from '../../../dsp/beat/half-speed-watch';
import { Candidates } from '../../../dsp/impulses/candidates';
import { createRandom } from '../../../dsp/maker/random';

/** How many of a beat's strikes it takes to see that there are as many halfway; null: it is not seen in so many.
 * @param heightOf of what stands halfway after strike n, by the usual strike; 0: nothing does */
function seenAfter(
  heightOf: (n: number) => number,
  strikes: number,
  seed: number,
  clear = false,
): number | null {
  const all = new Candidates('sharp');
  const watch = new HalfSpeedWatch(all);
  const random = createRandom(seed);
  const add = (timeS: number, peak: number): number => {
    all.add(timeS + 1e-4 * random.normal(), peak, 1, 0.2, 0, 0);
    return all.end - 1;
  };
  watch.startAnew();
  let before = add(0, 1);
  for (let n = 1; n <= strikes; n++) {
    const height = heightOf(n);
    if (height > 0) add(0.1 * (n - 0.5), height);
    const strike = add(0.1 * n, 1);
    if (watch.take(strike, before, 1, clear)) return n;
    before = strike;
  }
  return null;
}

const SEEDS = Array.from({ length: 50 }, (_, seed) => seed);

test('strikes as tall halfway, as heights scatter among noise, one in ten missing, are seen within four dozen', () => {
  for (const seed of SEEDS) {
    const height = createRandom(seed, 1);
    const tall = (): number => (height.uniform() < 0.1 ? 0 : 1 + 0.3 * height.normal());
    expect(seenAfter(tall, 300, seed)).toBeLessThanOrEqual(48);
  }
});

test('another lead at 50 % that fires halfway is not taken for half the strikes, nor is noise', () => {
  for (const seed of SEEDS) {
    const height = createRandom(seed, 1);
    const other = (): number => 0.5 * (1 + 0.12 * height.normal()) + 0.2 * height.normal();
    expect(seenAfter(other, 2000, seed)).toBe(null);
    expect(seenAfter(() => (height.uniform() < 0.2 ? 0.9 : 0), 2000, seed)).toBe(null);
  }
});

test('clear of noise strikes as tall halfway, one in ten missing, are seen within two dozen', () => {
  for (const seed of SEEDS) {
    const height = createRandom(seed, 1);
    const tall = (): number => (height.uniform() < 0.1 ? 0 : Math.exp(0.12 * height.normal()));
    expect(seenAfter(tall, 300, seed, true)).toBeLessThanOrEqual(24);
  }
});

// the tallest of other leads reaches 0.65 of the clamped one, and strikes scatter by 12 % [SIGNAL ranges, common practice]
test('clear of noise another lead at 65 % that fires halfway is not taken for half the strikes', () => {
  for (const seed of SEEDS) {
    const height = createRandom(seed, 1);
    const other = (): number => 0.65 * Math.exp(0.17 * height.normal());
    expect(seenAfter(other, 1000, seed, true)).toBe(null);
  }
});
