import { expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';
import { SignalMaker } from '../../../dsp/maker/signal-maker';
import {
  PLAIN_CHANNEL,
  PLAIN_RECIPE,
  type ChannelRecipe,
  type SignalRecipe,
} from '../../../dsp/maker/signal-recipe';
import { lineAmplitudes, spectrumOf } from '../../helpers/spectrum';

/** A rate at which a power of two samples holds whole cycles of 50 Hz, so that a tone falls in one bin. */
const RATE = 51_200;
const SIZE = 2 ** 16;
const BIN_HZ = RATE / SIZE;

function heard(
  channel: Partial<ChannelRecipe>,
  signal: Partial<SignalRecipe> = {},
  frames = SIZE,
): Float32Array {
  const channels = [{ ...PLAIN_CHANNEL, voices: [], ...channel }];
  return new SignalMaker({ ...PLAIN_RECIPE, sampleRateHz: RATE, channels, ...signal }).render(frames)[0]!;
}

const rms = (samples: Float32Array): number =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

test('hum and its harmonics stand at their frequencies with their amplitudes, and nowhere else', () => {
  const lines = lineAmplitudes(heard({ hum: { frequencyHz: 50, amplitudes: [0.3, 0, 0.1] } }));
  const at = (hz: number): number => lines[Math.round(hz / BIN_HZ)]!;
  expect(at(50)).toBeCloseTo(0.3, 6); // float32 samples carry seven digits
  expect(at(100)).toBeLessThan(1e-7);
  expect(at(150)).toBeCloseTo(0.1, 6);
  const others = lines.filter((_, k) => k !== 50 / BIN_HZ && k !== 150 / BIN_HZ);
  expect(Math.max(...others)).toBeLessThan(1e-7);
});

test('hum stays true over minutes: no drift of its phase', () => {
  const maker = new SignalMaker({
    ...PLAIN_RECIPE,
    sampleRateHz: RATE,
    channels: [{ ...PLAIN_CHANNEL, hum: { frequencyHz: 50, amplitudes: [0.3] } }],
  });
  const first = maker.render(1024)[0]!;
  for (let i = 0; i < 60; i++) maker.render(RATE - (i === 0 ? 1024 : 0)); // a whole minute further, whole cycles
  maker.render(0);
  const later = maker.render(1024)[0]!;
  later.forEach((x, n) => expect(x).toBeCloseTo(first[n]!, 6));
});

test('white noise has the standard deviation asked for and the same power in every band', () => {
  const samples = heard({ noiseSd: 0.05 }, {}, 16 * SIZE);
  expect(rms(samples)).toBeGreaterThan(0.05 * 0.997); // a million draws: 0.07 % standard error, four of them
  expect(rms(samples)).toBeLessThan(0.05 * 1.003);
  const { re, im } = spectrumOf(samples.subarray(0, SIZE));
  const bands = Array.from({ length: 16 }, (_, b) => {
    let sum = 0;
    for (let k = 1 + b * 2048; k < (b + 1) * 2048; k++) sum += re[k]! ** 2 + im[k]! ** 2;
    return sum / 2047 / SIZE / 0.05 ** 2;
  });
  for (const band of bands) expect(Math.abs(band - 1)).toBeLessThan(4.5 / Math.sqrt(2048)); // exponential bins
});

test('a strike’s peak over the noise is what the recipe says', () => {
  const noise = rms(heard({ noiseSd: 0.5 * 10 ** (-30 / 20) }));
  const maker = new SignalMaker({ ...PLAIN_RECIPE, sampleRateHz: 16 * RATE }); // fine enough to meet the peak
  maker.add({ timeS: 0.01, source: 0 });
  const peak = Math.max(...maker.render(SIZE)[0]!);
  expect(20 * Math.log10(peak / noise)).toBeCloseTo(30, 0.5);
});

test.each([2, 10, 20])(
  'AC coupling takes half the power at its corner of %d Hz, and nothing far above',
  (cornerHz) => {
    const level = (hz: number): number => {
      const samples = heard(
        { hum: { frequencyHz: hz, amplitudes: [0.5] }, acCouplingHz: cornerHz },
        {},
        10 * RATE,
      );
      return rms(samples.subarray(5 * RATE)) / (0.5 * Math.SQRT1_2); // whole cycles, after it has settled
    };
    expect(level(cornerHz)).toBeCloseTo(Math.SQRT1_2, 3);
    expect(level(1000)).toBeCloseTo(1, 3);
  },
);

test('AC coupling takes a constant away', () => {
  const slow = heard({ hum: { frequencyHz: 0.001, amplitudes: [0.5] }, acCouplingHz: 5 });
  expect(Math.abs(slow[SIZE - 1]!)).toBeLessThan(1e-3);
});

test('whine follows the phase that it is told, harmonics and all', () => {
  const cycles = (timeS: number): number => 300 * timeS + 40 * timeS * timeS;
  const samples = heard({ whine: { amplitudes: [0.2, 0, 0.05], cyclesAt: cycles } });
  samples.forEach((x, n) => {
    const angle = 2 * Math.PI * cycles(n / RATE);
    if (n % 97 === 0) expect(x).toBeCloseTo(0.2 * Math.sin(angle) + 0.05 * Math.sin(3 * angle), 6);
  });
});

test('a gain control pumps between nothing and its depth, about once a second', () => {
  const carrier = { frequencyHz: 2000, amplitudes: [0.5] };
  const samples = heard({ hum: carrier, pumping: { depthDb: 20, rateHz: 1 } }, {}, 20 * RATE);
  const levels = Array.from(
    { length: 2000 },
    (_, i) => rms(samples.subarray(i * 512, (i + 1) * 512)) * Math.SQRT2,
  );
  expect(20 * Math.log10(Math.max(...levels) / 0.5)).toBeCloseTo(0, 1);
  expect(20 * Math.log10(Math.min(...levels) / 0.5)).toBeCloseTo(-20, 0.5);
  const middle = 0.5 * 10 ** (-10 / 20);
  const crossings = levels.slice(1).filter((level, i) => level > middle !== levels[i]! > middle).length;
  expect(crossings).toBeGreaterThan(30); // twenty seconds at one a second would be 40; the beat is uneven
  expect(crossings).toBeLessThan(50);
});

test('inverted turns every sample over', () => {
  const hum = { frequencyHz: 50, amplitudes: [0.3] };
  const upright = heard({ hum }, {}, 1000);
  expect(heard({ hum, inverted: true }, {}, 1000)).toEqual(upright.map((x) => -x));
});

test.each([16, 24] as const)(
  '%d bits leave whole steps, and an error of a step over the root of twelve',
  (bits) => {
    const hum = { frequencyHz: 51.7, amplitudes: [0.7] };
    const step = 2 ** (1 - bits);
    const rounded = heard({ hum }, { bits });
    expect(rounded.every((x) => Number.isInteger(x / step))).toBe(true);
    if (bits === 24) return; // float32 samples cannot show an error below a step of 24 bits
    const exact = heard({ hum });
    const error = rms(rounded.map((x, n) => x - exact[n]!));
    expect(error * Math.sqrt(12)).toBeGreaterThan(step * 0.98);
    expect(error * Math.sqrt(12)).toBeLessThan(step * 1.02);
  },
);

test('what is over full scale is cut at it: the highest step upwards, full scale downwards', () => {
  const loud = heard({ hum: { frequencyHz: 50, amplitudes: [3] } }, { bits: 16 });
  expect(Math.max(...loud)).toBe(1 - 2 ** -15);
  expect(Math.min(...loud)).toBe(-1);
  const floating = heard({ hum: { frequencyHz: 50, amplitudes: [3] } });
  expect(Math.max(...floating)).toBe(1);
});

test('strays come as often as asked, as large as asked, either way up', () => {
  const maker = new SignalMaker({
    ...PLAIN_RECIPE,
    sampleRateHz: 48_000,
    channels: [{ ...PLAIN_CHANNEL, strays: { perSecond: 2, lowestAmplitude: 0.3, highestAmplitude: 0.6 } }],
  });
  const peaks: number[] = [];
  for (let i = 0; i < 300 * 20; i++) {
    const block = maker.render(2400)[0]!; // a twentieth of a second: seldom two in one
    const [high, low] = [Math.max(...block), Math.min(...block)];
    if (Math.max(high, -low) > 0.15) peaks.push(high > -low ? high : low);
  }
  // 600 in 300 s; two in one block hide about one in twenty, and one in a hundred straddles two
  expect(peaks.length).toBeGreaterThan(600 * 0.95 - 3 * Math.sqrt(600));
  expect(peaks.length).toBeLessThan(600 + 3 * Math.sqrt(600));
  expect(Math.max(...peaks.map(Math.abs))).toBeLessThan(0.9); // two together at the most
  const upwards = peaks.filter((peak) => peak > 0).length / peaks.length;
  expect(Math.abs(upwards - 0.5)).toBeLessThan(0.08); // four standard errors of a fair coin
});

test('streams of random numbers are apart: noise does not change where strays stand', () => {
  const strays = { perSecond: 50, lowestAmplitude: 0.5, highestAmplitude: 0.6 };
  const quiet = heard({ strays });
  const noisy = heard({ strays, noiseSd: 1e-4 });
  quiet.forEach((x, n) => expect(Math.abs(x - noisy[n]!)).toBeLessThan(1e-3));
  expect(createRandom(1, 16).uniform()).not.toBe(createRandom(1, 18).uniform());
});
