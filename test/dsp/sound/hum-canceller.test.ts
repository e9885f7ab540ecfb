import { expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';
import { HumCanceller } from '../../../dsp/sound/hum-canceller';

const RATE_HZ = 48_000;
const SECONDS = 3;
const NOISE = 0.002;

/** Samples of a sum over time, and what the canceller leaves of the last second. */
function left(heard: (timeS: number) => number, block = 256): Float32Array {
  const random = createRandom(1, 3);
  const samples = Float32Array.from(
    { length: SECONDS * RATE_HZ },
    (_, n) => heard(n / RATE_HZ) + NOISE * random.normal(),
  );
  const into = new Float32Array(samples.length);
  const canceller = new HumCanceller(RATE_HZ);
  for (let at = 0; at < samples.length; at += block)
    canceller.run(samples.subarray(at, at + block), into.subarray(at, at + block));
  return into.subarray((SECONDS - 1) * RATE_HZ);
}
const rms = (samples: Float32Array): number =>
  Math.sqrt(samples.reduce((sum, each) => sum + each * each, 0) / samples.length);
const hum = (hz: number) => (timeS: number) =>
  0.1 * Math.sin(2 * Math.PI * hz * timeS) + 0.03 * Math.sin(6 * Math.PI * hz * timeS + 1);
/** One millisecond tall in every so many. */
const pulses = (hz: number) => (timeS: number) => (((timeS * hz) % 1) * (1 / hz) < 1e-3 ? 0.5 : 0);

// mains stray by a twentieth of a hertz: common practice
test.each([50, 60, 50.05, 59.95])('hum of %d Hz goes, down to the noise', (hz) => {
  expect(rms(left(hum(hz)))).toBeLessThan(1.3 * NOISE);
});

test('pulses that come as often as the mains turn keep their height, with hum and without', () => {
  for (const beside of [hum(50), () => 0]) {
    const heard = left((timeS) => pulses(50)(timeS) + beside(timeS));
    const top = heard.reduce((most, each) => Math.max(most, each), 0);
    expect(top).toBeGreaterThan(0.48);
    expect(top).toBeLessThan(0.52);
  }
});

test('the same is left whatever the block size', () => {
  expect(left(hum(50), 97)).toEqual(left(hum(50), 1024));
});
