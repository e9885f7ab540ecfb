/** The noise between impulses, against noise of known deviation: with nothing in it, and where strikes ring all the time. */
import { expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';
import { NoiseLevel } from '../../../dsp/sound/noise-level';

const RATE_HZ = 48_000;
const SECONDS = 3;
const DEVIATION = 0.01;

/** White noise with a strike of height 1 every so often, which rings at 6 kHz and dies to 1/e in half a millisecond. */
function levelOf(everyS: number | null): NoiseLevel {
  const random = createRandom(1, 0);
  const level = new NoiseLevel(RATE_HZ);
  const block = new Float64Array(RATE_HZ * SECONDS);
  for (let n = 0; n < block.length; n++) {
    const sinceS = everyS === null ? Infinity : (n / RATE_HZ) % everyS;
    const ringing =
      sinceS === Infinity ? 0 : Math.cos(2 * Math.PI * 6000 * sinceS) * Math.exp(-sinceS / 0.5e-3);
    block[n] = DEVIATION * random.normal() + ringing;
  }
  level.run(block, block.length);
  return level;
}

test('the deviation of noise alone is told to a tenth or so, ringing looked for or not', () => {
  const level = levelOf(null);
  expect(level.deviation / DEVIATION).toBeGreaterThan(0.88);
  expect(level.deviation / DEVIATION).toBeLessThan(1.12);
  expect(level.deviationBesideRinging).toBe(level.deviation);
});

test('seldom strikes change nothing', () => {
  const level = levelOf(20e-3);
  expect(level.deviationBesideRinging / DEVIATION).toBeGreaterThan(0.88);
  expect(level.deviationBesideRinging / DEVIATION).toBeLessThan(1.12);
});

test('strikes so fast that one rings until the next are no noise, where some stretches between them are quiet', () => {
  const level = levelOf(3.5e-3);
  expect(level.deviationBesideRinging / DEVIATION).toBeGreaterThan(0.88);
  expect(level.deviationBesideRinging / DEVIATION).toBeLessThan(2);
});

test('nothing is told before anything came', () => {
  expect(new NoiseLevel(RATE_HZ).deviationBesideRinging).toBe(0);
});
