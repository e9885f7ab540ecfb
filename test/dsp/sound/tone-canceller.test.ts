import { expect, test } from 'vitest';
import { colouredBound } from '../../../dsp/shape/bound';
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

test.each([1200, 2500, 4100])('a steady tone of %i Hz is taken down by 60 dB within half a second', (hz) => {
  const x = tone(hz, 0.3, RATE_HZ);
  inChunks(x);
  expect(rms(x.subarray(RATE_HZ / 2))).toBeLessThan((0.3 / Math.SQRT2) * 10 ** (-60 / 20));
});

test('a tone that stops leaves nothing behind after 30 ms', () => {
  const x = tone(2500, 0.3, RATE_HZ).fill(0, RATE_HZ / 2);
  const random = createRandom(4);
  for (let n = 0; n < x.length; n++) x[n]! += 1e-3 * random.normal();
  inChunks(x);
  expect(rms(x.subarray(RATE_HZ / 2 + 0.03 * RATE_HZ, RATE_HZ / 2 + 0.13 * RATE_HZ))).toBeLessThan(1.5e-3);
});

// The bound knows the tones as they are; the canceller must learn them, a second long, 40 dB over the noise.
test('strikes in three tones are timed within a fifth of what their noise allows', () => {
  const [width, sigma, every, past] = [4, 1e-3, 960, 200];
  const tones = [1300, 2600, 4100].map((hz) => tone(hz, 0.1, RATE_HZ));
  const random = createRandom(6);
  const x = Float64Array.from(
    { length: 3 * RATE_HZ },
    (_, n) => sigma * random.normal() + tones.reduce((s, t) => s + t[n % RATE_HZ]!, 0),
  );
  const bell = (t: number): number => Math.exp(-0.5 * (t / width) ** 2);
  for (let at = every; at < x.length - every; at += every)
    for (let n = -16; n <= 16; n++) x[at + n]! += bell(n);
  inChunks(x);
  let [sum, count] = [0, 0];
  for (let at = RATE_HZ - (RATE_HZ % every); at < x.length - every; at += every, count++) {
    let [withSlope, norm] = [0, 0];
    for (let n = -16; n <= 16; n++) {
      const slope = (-n / width ** 2) * bell(n);
      withSlope += slope * (x[at + n]! - bell(n));
      norm += slope * slope;
    }
    sum += (withSlope / norm) ** 2;
  }
  const points = Float64Array.from({ length: 4 * (past + 33) + 1 }, (_, j) => bell(j / 4 - past - 16));
  const covariance = points.map(
    (_, lag) =>
      (lag === 0 ? sigma ** 2 : 0) +
      [1300, 2600, 4100].reduce((s, hz) => s + 0.005 * Math.cos((2 * Math.PI * hz * lag) / RATE_HZ), 0),
  );
  expect(Math.sqrt(sum / count) / colouredBound(points, 4, covariance)).toBeLessThan(1.2);
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

test.each([
  [1.52e-3, 2000, -0.35],
  [1.5e-3, 2530, 0.3],
  [2e-3, 3500, -0.35],
])(
  'strikes every %f s that ring at %i Hz until the next, with a kick of %f, are no tone',
  (everyS, hz, kick) => {
    const ring = (t: number): number =>
      t < 0 ? 0 : Math.exp(-t / 0.45e-3) * Math.sin(2 * Math.PI * hz * t + 1.2);
    const random = createRandom(7);
    const x = Float64Array.from({ length: 2 * RATE_HZ }, () => 2e-3 * random.normal());
    for (let timeS = 0.01; timeS < 2; timeS += everyS) {
      const kickS = timeS + 0.94e-3 * (1 + 0.1 * random.normal());
      for (let n = Math.ceil(timeS * RATE_HZ), end = Math.min(x.length, n + 240); n < end; n++)
        x[n]! += 0.17 * (ring(n / RATE_HZ - timeS) + kick * ring(n / RATE_HZ - kickS));
    }
    const before = x.slice();
    inChunks(x);
    const taken = x.map((v, n) => v - before[n]!).subarray(RATE_HZ / 5);
    expect(rms(taken)).toBeLessThan(0.02 * rms(before));
  },
);

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
