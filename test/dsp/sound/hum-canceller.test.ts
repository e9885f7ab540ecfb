/** Hum taken out of pulses that were written down here sample by sample: what is left beside what was there before hum was
 * added. */
import { expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';
import { HumCanceller } from '../../../dsp/sound/hum-canceller';

const RATE_HZ = 48_000;
const SECONDS = 4;
const HEIGHT = 0.4;
const NOISE = HEIGHT * 10 ** (-35 / 20);
/** The hum is thirteen times the noise; what is left of it must move an edge by less than a sixth of what noise does. */
const LEFT = 0.15;
/** Fundamental and harmonics of a mains hum: odd ones stand out. */
const HUM = [0.3, 0.05, 0.1, 0.02, 0.06, 0.01, 0.03].map((share) => share * HEIGHT);

/** Bells of 150 µs, so many a second, in noise. */
function pulses(perSecond: number): Float32Array {
  const random = createRandom(3, 1);
  return Float32Array.from({ length: SECONDS * RATE_HZ }, (_, n) => {
    const turns = (n / RATE_HZ) * perSecond;
    const offS = (turns - Math.round(turns)) / perSecond;
    return HEIGHT * Math.exp(-0.5 * (offS / 64e-6) ** 2) + NOISE * random.normal();
  });
}

const hum = (n: number, hz: number): number =>
  HUM.reduce(
    (sum, each, k) => sum + each * Math.sin((2 * Math.PI * hz * (k + 1) * n) / RATE_HZ + 1.7 * k),
    0,
  );

function without(samples: Float32Array, block = 4096): Float32Array {
  const out: number[] = [];
  const canceller = new HumCanceller(RATE_HZ, (quiet) => out.push(...quiet));
  for (let at = 0; at < samples.length; at += block) canceller.push(samples.subarray(at, at + block));
  canceller.finish();
  return Float32Array.from(out);
}

/** Root mean square of what two differ by, from a sample on, in the noise's standard deviation. */
function differs(one: Float32Array, other: Float32Array, from: number): number {
  let sum = 0;
  for (let n = from; n < one.length; n++) sum += (one[n]! - other[n]!) ** 2;
  return Math.sqrt(sum / (one.length - from)) / NOISE;
}

test.each([
  [50, 17],
  [60, 17],
  [50, 50], // as often as the hum
  [60, 90],
])(
  'hum of %i Hz goes from the first sample on, and leaves %i pulses a second as they are',
  (hz, perSecond) => {
    const clean = pulses(perSecond);
    const left = without(clean.map((sample, n) => sample + hum(n, hz)));
    expect(left.length).toBe(clean.length);
    expect(differs(clean, left, 0)).toBeLessThan(LEFT);
  },
);

test.each([
  ['no hum', 0],
  ['a hum far below the noise', 0.01],
])('sound with %s passes untouched', (_, share) => {
  const samples = pulses(50).map((sample, n) => sample + share * hum(n, 50));
  expect(without(samples)).toEqual(samples);
});

test('a grid that strays by a third of a hertz is followed within two seconds', () => {
  const clean = pulses(17);
  const left = without(clean.map((sample, n) => sample + hum(n, 50.3)));
  expect(differs(clean, left, 2 * RATE_HZ)).toBeLessThan(LEFT);
});

/** Hum that begins is taken out from so long before on at the earliest, and has faded so long after. */
const EARLY = 0.02 * RATE_HZ;
const FADED = 0.05 * RATE_HZ;

test.each([
  [50, 17],
  [60, 90],
])('hum of %i Hz that begins as tall as %i pulses a second goes from where it begins', (hz, perSecond) => {
  const clean = pulses(perSecond);
  const left = without(clean.map((sample, n) => sample + (n < RATE_HZ ? 0 : 3 * hum(n, hz))));
  expect(left.subarray(0, RATE_HZ - EARLY)).toEqual(clean.subarray(0, RATE_HZ - EARLY));
  expect(differs(clean.subarray(0, 2 * RATE_HZ), left, RATE_HZ + FADED)).toBeLessThan(LEFT);
  expect(differs(clean, left, 2 * RATE_HZ)).toBeLessThan(LEFT);
});

test('hum that ends leaves nothing behind', () => {
  const clean = pulses(17);
  const left = without(clean.map((sample, n) => sample + (n < RATE_HZ ? 3 * hum(n, 60) : 0)));
  expect(differs(clean.subarray(0, RATE_HZ - EARLY), left, 0)).toBeLessThan(LEFT);
  expect(differs(clean, left, RATE_HZ + FADED)).toBeLessThan(LEFT);
});

test('lost samples change nothing of the hum after them', () => {
  const clean = pulses(17);
  const heard = clean.map((sample, n) => sample + hum(n, 50));
  const out: number[] = [];
  const canceller = new HumCanceller(RATE_HZ, (quiet) => out.push(...quiet));
  canceller.push(heard.subarray(0, RATE_HZ));
  canceller.lose(777);
  canceller.push(heard.subarray(RATE_HZ + 777));
  canceller.finish();
  expect(differs(clean.subarray(RATE_HZ + 777), Float32Array.from(out.slice(RATE_HZ)), 0)).toBeLessThan(LEFT);
});

test('the same is left whatever the block size, and of less than its first stretch', () => {
  const heard = pulses(17).map((sample, n) => sample + hum(n, 50));
  expect(without(heard, 97)).toEqual(without(heard, 8192));
  expect(without(heard.subarray(0, 1000))).toHaveLength(1000);
  expect(without(new Float32Array(0))).toHaveLength(0);
});
