import { expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';
import { ToneCanceller } from '../../../dsp/sound/tone-canceller';

const RATE_HZ = 48_000;

/** Expected values: the tone's amplitude is known, the impulse is put in by hand. */
function tone(hz: number, amplitude: number, samples: number): Float64Array {
  return Float64Array.from(
    { length: samples },
    (_, n) => amplitude * Math.sin((2 * Math.PI * hz * n) / RATE_HZ),
  );
}
const rms = (x: Float64Array): number => Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);

/** As the chain gives them: chunks of one size. */
function inChunks(x: Float64Array): void {
  const canceller = new ToneCanceller(RATE_HZ);
  for (let at = 0; at < x.length; at += 256) canceller.run(x.subarray(at), Math.min(256, x.length - at));
}

test.each([1200, 2500, 4100])('a steady tone of %i Hz is taken down by 30 dB within half a second', (hz) => {
  const x = tone(hz, 0.3, RATE_HZ);
  inChunks(x);
  expect(rms(x.subarray(RATE_HZ / 2))).toBeLessThan((0.3 / Math.SQRT2) * 10 ** (-30 / 20));
});

test('an impulse in a tone keeps its height to 5 %', () => {
  const x = tone(2500, 0.3, RATE_HZ);
  const at = 40_000;
  x[at] = x[at]! + 1;
  inChunks(x);
  expect(Math.abs(x[at]! - 1)).toBeLessThan(0.05);
});

test('a train of impulses with no tone passes unchanged to 2 %', () => {
  const x = new Float64Array(RATE_HZ);
  for (let n = 100; n < x.length; n += 480) x[n] = 0.8;
  inChunks(x);
  for (let n = 100; n < x.length; n += 480) expect(Math.abs(x[n]! - 0.8)).toBeLessThan(0.016);
});

test('silence stays silence', () => {
  const x = new Float64Array(1000);
  inChunks(x);
  expect(x.every((v) => v === 0)).toBe(true);
});

test('without a tone every sample passes as it is', () => {
  const random = createRandom(3, 0);
  const x = Float64Array.from({ length: RATE_HZ }, () => random.normal() * 0.01);
  for (let n = 100; n < x.length; n += 960) x[n] = 0.5;
  const before = x.slice();
  inChunks(x);
  expect(x).toEqual(before);
});
