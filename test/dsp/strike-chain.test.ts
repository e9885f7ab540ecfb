import fc from 'fast-check';
import { expect, test } from 'vitest';
import { chainOptionsFor } from '../../core/speed';
import { simulateWhole } from '../../core/scenario/simulate';
import { createRandom } from '../../dsp/maker/random';
import { createStrikeChain, type SignalReport } from '../../dsp/strike-chain';
import { KINDS, type Kind } from '../helpers/signal-kinds';
import { scenarioBoundS } from '../helpers/timing-bound';

const OPTIONS = chainOptionsFor({ strokes: 4, cylinders: 8, pickup: 'plug' }, 44_100);

/** Every number the chain gives, through blocks of the given sizes in turn. */
function strikesOf(samples: Float32Array, sizes: readonly number[]): (number | null)[] {
  const all: (number | null)[] = [];
  const chain = createStrikeChain(OPTIONS, (s) => all.push(s.timeS, s.amplitude, s.rateHz, s.rateSdHz));
  for (let at = 0, b = 0; at < samples.length; b++) {
    const size = sizes[b % sizes.length]!;
    chain.push(samples.subarray(at, at + size));
    at += size;
  }
  chain.finish();
  return all;
}

const kindNamed = (name: string): Kind => KINDS.find((kind) => kind.name === name)!;
const signals = KINDS.map((kind) => simulateWhole({ ...kind.scenario(7, 44_100), seconds: 3 }).channels[0]!);

test('blocks of 1 to 8192 samples give identical strikes, bit for bit', () => {
  const whole = signals.map((samples) => strikesOf(samples, [samples.length]));
  expect(whole.every((strikes) => strikes.length > 40)).toBe(true);
  const sizes = fc.array(fc.integer({ min: 1, max: 8192 }), { minLength: 1, maxLength: 12 });
  fc.assert(
    fc.property(fc.nat(signals.length - 1), sizes, (which, blocks) => {
      expect(strikesOf(signals[which]!, blocks)).toEqual(whole[which]);
    }),
    { numRuns: 40, seed: 1 },
  );
});

/** The report after two seconds of a made signal. */
function reportOf(sample: (n: number) => number): SignalReport {
  const chain = createStrikeChain(OPTIONS, () => undefined);
  chain.push(Float32Array.from({ length: 2 * 44_100 }, (_, n) => sample(n)));
  return chain.report();
}
const sine = (hz: number, n: number): number => Math.sin((2 * Math.PI * hz * n) / 44_100);

test('silence is called silence', () => {
  expect(reportOf(() => 0)).toMatchObject({ state: 'listening', reason: 'silence', peak: 0, humHz: null });
});

test('hum alone is called hum, with its frequency and its amplitude', () => {
  const report = reportOf((n) => 0.2 * sine(60, n));
  expect(report).toMatchObject({ reason: 'only hum', humHz: 60 });
  expect(report.humAmplitude).toBeCloseTo(0.2, 2); // the made amplitude; boxes of 1 ms take 0.6 % off
  expect(report.rms).toBeCloseTo(0.2 / Math.SQRT2, 3);
});

test('a sound that stands at full scale is called clipped', () => {
  expect(reportOf((n) => Math.max(-1, Math.min(1, 5 * sine(440, n)))).reason).toBe('clipping');
});

test('noise that opens and closes to exact zeros is called speech processing', () => {
  const random = createRandom(1);
  expect(reportOf((n) => (n % 8820 < 2205 ? 0.1 * random.normal() : 0)).reason).toBe('speech processing');
});

test('impulses at random times have no steady beat', () => {
  const random = createRandom(2);
  const report = reportOf(() => 0.001 * random.normal() + (random.uniform() < 20 / 44_100 ? 0.5 : 0));
  expect(report).toMatchObject({ state: 'listening', reason: 'no steady beat' });
});

test('rates that cannot be are refused', () => {
  expect(() => createStrikeChain({ ...OPTIONS, lowestRateHz: 0 }, () => undefined)).toThrow(RangeError);
  expect(() => createStrikeChain({ ...OPTIONS, patternLength: 0 }, () => undefined)).toThrow(RangeError);
});

test('the picture shows the made strike, what is beside it and what is missing', () => {
  const made = kindNamed('misfires 8 %').scenario(3, 44_100);
  const chain = createStrikeChain(OPTIONS, () => undefined);
  expect(chain.picture()).toBeNull();
  chain.push(simulateWhole(made).channels[0]!);
  chain.finish();
  const picture = chain.picture()!;
  expect(picture.shape.reduce((most, each) => Math.max(most, Math.abs(each)), 0)).toBeCloseTo(1, 1);
  expect(
    picture.timingS / scenarioBoundS({ ...made, sound: { ...made.sound, amplitudeScatter: 0 } })!,
  ).toBeGreaterThan(0.7);
  expect(
    picture.timingS / scenarioBoundS({ ...made, sound: { ...made.sound, amplitudeScatter: 0 } })!,
  ).toBeLessThan(2);
  expect(picture.missedShare).toBeGreaterThan(0.03); // 8 % as made, of some hundred strikes
  expect(picture.missedShare).toBeLessThan(0.15);
});

test('a clamp moved from between all leads onto one: its strikes alone are followed from then on', () => {
  const [rateHz, everyS, movedS] = [44_100, 0.02, 3]; // eight leads' strikes, 750 rpm
  const random = createRandom(5);
  const samples = Float32Array.from({ length: 8 * rateHz }, () => 0.0005 * random.normal());
  for (let k = 1; k * everyS < 7.99; k++) {
    const height = (k * everyS > movedS && k % 8 === 0 ? 0.4 : 0.05) * (1 + 0.05 * random.normal());
    const at = Math.round(k * everyS * rateHz);
    for (let n = 0; n < 100; n++)
      samples[at + n]! += height * Math.exp(-n / 12) * Math.cos((2 * Math.PI * n) / 9);
  }
  const rates: { timeS: number; rateHz: number | null }[] = [];
  const chain = createStrikeChain(OPTIONS, (s) => rates.push({ timeS: s.timeS, rateHz: s.rateHz }));
  chain.push(samples);
  chain.finish();
  const between = (fromS: number, untilS: number): number[] =>
    rates.filter(({ timeS }) => timeS > fromS && timeS < untilS).map((strike) => strike.rateHz!);
  expect(between(1, movedS).every((hz) => Math.abs(hz * everyS - 1) < 0.002)).toBe(true);
  expect(between(6, 8).length).toBeGreaterThanOrEqual(11); // one in 160 ms
  for (const hz of between(6, 8)) expect(hz * 8 * everyS).toBeCloseTo(1, 2);
});
