import { expect, test } from 'vitest';
import { ToneCanceller } from '../../dsp/tone-canceller';

const RATE_HZ = 48_000;

/** Expected values: the tone's amplitude is known, the impulse is put in by hand. */
function tone(hz: number, amplitude: number, samples: number): Float64Array {
  return Float64Array.from(
    { length: samples },
    (_, n) => amplitude * Math.sin((2 * Math.PI * hz * n) / RATE_HZ),
  );
}
const rms = (x: Float64Array): number => Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);

test.each([1200, 2500, 4100])('a steady tone of %i Hz is taken down by 30 dB within half a second', (hz) => {
  const x = tone(hz, 0.3, RATE_HZ);
  new ToneCanceller(RATE_HZ).run(x, x.length);
  expect(rms(x.subarray(RATE_HZ / 2))).toBeLessThan((0.3 / Math.SQRT2) * 10 ** (-30 / 20));
});

test('an impulse in a tone keeps its height to 5 %', () => {
  const x = tone(2500, 0.3, RATE_HZ);
  const at = 40_000;
  x[at] = x[at]! + 1;
  new ToneCanceller(RATE_HZ).run(x, x.length);
  expect(Math.abs(x[at]! - 1)).toBeLessThan(0.05);
});

test('a train of impulses with no tone passes unchanged to 2 %', () => {
  const x = new Float64Array(RATE_HZ);
  for (let n = 100; n < x.length; n += 480) x[n] = 0.8;
  new ToneCanceller(RATE_HZ).run(x, x.length);
  for (let n = 100; n < x.length; n += 480) expect(Math.abs(x[n]! - 0.8)).toBeLessThan(0.016);
});

test('silence stays silence', () => {
  const x = new Float64Array(1000);
  new ToneCanceller(RATE_HZ).run(x, x.length);
  expect(x.every((v) => v === 0)).toBe(true);
});
