import { expect, test } from 'vitest';
import { FILTER_HALF_SAMPLES, filterResponse } from '../../../dsp/maker/anti-alias';
import { createRandom } from '../../../dsp/maker/random';
import { SignalMaker } from '../../../dsp/maker/signal-maker';
import { PLAIN_CHANNEL, PLAIN_RECIPE, PLAIN_STRIKE } from '../../../dsp/maker/signal-recipe';
import { pulseTable, type PulseShape, type StrikeShape } from '../../../dsp/maker/strike-shape';
import { spectrumOf } from '../../helpers/spectrum';

const SIZE = 4096;

/** One pulse, its instant at a fraction of a sample, as float samples. */
function onePulse(shape: PulseShape, sampleRateHz: number, atSamples: number, frames = SIZE): Float32Array {
  const voices = [{ source: 0, shape, amplitude: 0.9, kick: null }];
  const maker = new SignalMaker({ ...PLAIN_RECIPE, sampleRateHz, channels: [{ ...PLAIN_CHANNEL, voices }] });
  maker.add({ timeS: atSamples / sampleRateHz, source: 0 });
  return maker.render(frames)[0]!;
}

/** The strike's Fourier transform in closed form, written from its definition
 * (1 - exp(-t/rise)) (exp(-t/fall) + share sin(2 pi f t) exp(-t/ring)): each exponential gives 1 / (rate + j omega). */
function transform(shape: StrikeShape, hz: number): { re: number; im: number } {
  const omega = 2 * Math.PI * hz;
  const ringing = 2 * Math.PI * shape.ringHz;
  const rise = Math.log(9) / shape.riseS; // from 10 to 90 % an exponential takes ln 9 time constants
  const sum = { re: 0, im: 0 };
  const add = (gain: number, re: number, im: number): void => {
    const size = re * re + im * im;
    sum.re += (gain * re) / size;
    sum.im -= (gain * im) / size;
  };
  add(1, 1 / shape.fallS, omega);
  add(-1, 1 / shape.fallS + rise, omega);
  // exp(-a t) sin(b t) gives b / ((a + j omega)² + b²)
  for (const [gain, a] of [
    [shape.ringShare, 1 / shape.ringDecayS],
    [-shape.ringShare, 1 / shape.ringDecayS + rise],
  ] as const) {
    const re = a * a - omega * omega + ringing * ringing;
    const im = 2 * a * omega;
    add(gain * ringing, re, im);
  }
  return sum;
}

/** Least squares through the origin's line: the delay in samples that a phase against frequency shows, weighted by
 * amplitude, and the largest misfit of the amplitude. */
function against(
  samples: Float32Array,
  sampleRateHz: number,
  shape: StrikeShape,
  at: number,
): { delay: number; misfit: number } {
  const { re, im } = spectrumOf(samples);
  let [above, below, most, least] = [0, 0, 0, Infinity];
  for (let k = 8; k < 0.44 * SIZE; k++) {
    const expected = transform(shape, (k * sampleRateHz) / SIZE);
    const turn = (2 * Math.PI * k * at) / SIZE; // taken out, so that the rest of the phase cannot wrap
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
    const [seenRe, seenIm] = [re[k]! * cos - im[k]! * sin, re[k]! * sin + im[k]! * cos];
    const phase = Math.atan2(
      seenIm * expected.re - seenRe * expected.im,
      seenRe * expected.re + seenIm * expected.im,
    );
    const frequency = (2 * Math.PI * k) / SIZE;
    const weight = seenRe ** 2 + seenIm ** 2;
    above -= weight * phase * frequency;
    below += weight * frequency * frequency;
    const gain = Math.hypot(seenRe, seenIm) / Math.hypot(expected.re, expected.im);
    most = Math.max(most, gain);
    least = Math.min(least, gain);
  }
  return { delay: above / below, misfit: most / least - 1 };
}

const random = createRandom(5);
const SHAPES = Array.from({ length: 24 }, (_, i) => ({
  rate: [44_100, 48_000, 96_000, 192_000][i % 4]!,
  at: 1000 + random.uniform(),
  shape: {
    kind: 'strike' as const,
    riseS: random.between(1e-6, 20e-6),
    fallS: random.between(20e-6, 80e-6),
    ringHz: random.between(2000, 12_000),
    ringShare: random.between(0.1, 0.7),
    ringDecayS: random.between(0.1e-3, 0.6e-3),
  },
}));

// Tolerances: a thousandth of a sample was asked for; float32 samples and the cubic between table points leave 1e-5.
test.each(SHAPES)(
  'a strike at $at samples of $rate Hz stands where its spectrum’s phase says, to 1e-4 samples',
  ({ rate, at, shape }) => {
    expect(Math.abs(against(onePulse(shape, rate, at), rate, shape, at).delay)).toBeLessThan(1e-4);
  },
);

test.each(SHAPES)(
  'its spectrum is the closed form up to 0.44 of $rate Hz, to 0.2 %',
  ({ rate, at, shape }) => {
    expect(against(onePulse(shape, rate, at), rate, shape, at).misfit).toBeLessThan(2e-3);
  },
);

test('nothing above half the sample rate is left: the filter takes 75 dB off', () => {
  // the same strike at sixteen fractions of a sample, interleaved, is the input seen sixteen times finer
  const fine = new Float32Array(SIZE * 16);
  for (let k = 0; k < 16; k++) {
    const samples = onePulse(PLAIN_STRIKE, 48_000, 1000 - k / 16);
    samples.forEach((x, n) => (fine[16 * n + k] = x));
  }
  const { re, im } = spectrumOf(fine);
  const level = (k: number): number => Math.hypot(re[k]!, im[k]!);
  const passed = level(Math.round(0.1 * SIZE));
  let most = 0;
  for (let k = Math.ceil(SIZE / 2); k < 8 * SIZE; k++) most = Math.max(most, level(k));
  expect(20 * Math.log10(most / passed)).toBeLessThan(-75);
});

test('the filter has no phase of its own: a strike rings before its onset as a sharp cut at half the rate must', () => {
  const samples = onePulse(PLAIN_STRIKE, 48_000, 1000);
  const before = samples.subarray(1000 - FILTER_HALF_SAMPLES + 5, 999);
  expect(Math.max(...before.map(Math.abs))).toBeGreaterThan(0.01);
  expect(samples.subarray(0, 1000 - FILTER_HALF_SAMPLES - 1).every((x) => x === 0)).toBe(true);
  // alternating signs: near half the sample rate
  const turns = before.slice(1).filter((x, i) => x * before[i]! < 0).length;
  expect(turns / (before.length - 1)).toBeGreaterThan(0.9);
});

test('the filter lets a constant through as it is', () => {
  let sum = 0;
  for (let i = -FILTER_HALF_SAMPLES; i <= FILTER_HALF_SAMPLES; i++) sum += filterResponse(i + 0.3);
  expect(sum).toBeCloseTo(1, 4);
});

test('the largest excursion of every shape is one, upwards for a strike', () => {
  const { points } = pulseTable(PLAIN_STRIKE, 96_000);
  expect(Math.max(...points)).toBe(1);
  expect(Math.min(...points)).toBeGreaterThan(-1);
});

/** The delay of a pulse that is even or odd about its instant, from the slope of its phase. */
function symmetryDelay(samples: Float32Array, at: number, isOdd: boolean): number {
  const { re, im } = spectrumOf(samples);
  let [above, below] = [0, 0];
  for (let k = 2; k < 0.1 * SIZE; k++) {
    const turn = (2 * Math.PI * k * at) / SIZE;
    const [seenRe, seenIm] = [
      re[k]! * Math.cos(turn) - im[k]! * Math.sin(turn),
      re[k]! * Math.sin(turn) + im[k]! * Math.cos(turn),
    ];
    const phase = isOdd ? Math.atan2(-seenRe, seenIm) : Math.atan2(seenIm, seenRe);
    const wrapped = Math.atan(Math.tan(phase)); // the sign of the pulse is no delay
    const weight = seenRe ** 2 + seenIm ** 2;
    above -= wrapped * weight * k;
    below += (2 * Math.PI * k * k * weight) / SIZE;
  }
  return above / below;
}

// A Gaussian's half height is half its width before its top; its slope's first lobe rises through half its height 1.92162
// deviations before it crosses zero: the larger root of x exp(-x²/2) = exp(-1/2) / 2 (solved by halving).
test.each([50e-6, 150e-6, 300e-6])(
  'an optical pulse of %d s rises through half its height at its instant, to 1e-3 samples',
  (widthS) => {
    const samples = onePulse({ kind: 'optical', widthS }, 48_000, 900.37);
    const top = 900.37 + (widthS / 2) * 48_000;
    expect(Math.abs(symmetryDelay(samples, top, false))).toBeLessThan(1e-3);
  },
);

test.each([50e-6, 150e-6, 300e-6])(
  'a reluctance pulse of %d s rises through half its height at its instant, to 1e-3 samples',
  (widthS) => {
    const samples = onePulse({ kind: 'reluctance', widthS }, 48_000, 900.37);
    const zero = 900.37 + 1.921_623 * (widthS / 2) * 48_000;
    expect(Math.abs(symmetryDelay(samples, zero, true))).toBeLessThan(1e-3);
    expect(samples[Math.round(900.37)]!).toBeGreaterThan(0); // the first half upwards
  },
);

test('a Hall pulse is even about the middle between its edges, half its width after its instant', () => {
  const samples = onePulse({ kind: 'hall', widthS: 300e-6 }, 48_000, 900.37);
  const middle = 900.37 + (300e-6 * 48_000) / 2;
  expect(Math.abs(symmetryDelay(samples, middle, false))).toBeLessThan(1e-3);
});

test('the width of an optical pulse is the width at half its height', () => {
  const rate = 192_000;
  const samples = onePulse({ kind: 'optical', widthS: 200e-6 }, rate, 900);
  const width = samples.filter((x) => x > 0.45).length / rate;
  expect(width).toBeGreaterThan(200e-6 - 1.5 / rate); // counted in whole samples
  expect(width).toBeLessThan(200e-6 + 1.5 / rate);
});

test('a shape with a time that is not above zero is refused', () => {
  expect(() => pulseTable({ ...PLAIN_STRIKE, riseS: 0 }, 48_000)).toThrow(/riseS/);
  expect(() => pulseTable({ kind: 'hall', widthS: -1 }, 48_000)).toThrow(RangeError);
  expect(() => pulseTable(PLAIN_STRIKE, NaN)).toThrow(RangeError);
});
