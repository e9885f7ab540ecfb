import { expect, test } from 'vitest';
import { PLAIN_SCENARIO } from '../../../core/scenario/scenario';
import { simulateWhole } from '../../../core/scenario/simulate';
import {
  CLEAN_SOUND,
  PLAIN_SENSOR,
  recipeOf,
  type RecipeFacts,
  type Sound,
} from '../../../core/scenario/sound';
import { lineAmplitudes } from '../../helpers/spectrum';

const FACTS: RecipeFacts = {
  sampleRateHz: 48_000,
  bits: 16,
  seed: 3,
  pickup: 'plug',
  plan: { everyTurns: 2, offsetTurns: [0, 0.5, 1, 1.5] },
  whineCyclesAt: (timeS) => timeS,
};

/** What is heard where nothing fires: floating point, 2^17 samples. */
function unfired(change: Partial<Sound>, sampleRateHz = 51_200): Float32Array {
  const sound = { ...CLEAN_SOUND, noiseBelowDb: null, acCouplingHz: null, peak: 0.5, ...change };
  const scenario = { ...PLAIN_SCENARIO, sampleRateHz, seconds: 2 ** 17 / sampleRateHz, bits: null };
  return simulateWhole({ ...scenario, sound, misfireShare: 1 }).channels[0]!;
}

test.each([12, 40, 60])(
  'noise asked for %d dB below the strike’s peak has that standard deviation',
  (noiseBelowDb) => {
    const samples = unfired({ noiseBelowDb });
    const sd = Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);
    expect(Math.abs(20 * Math.log10(0.5 / sd) - noiseBelowDb)).toBeLessThan(0.07); // 131072 draws: 0.2 %, four of them
  },
);

test.each([50, 60] as const)('hum at %d Hz has the share of the strike that was asked for', (hz) => {
  const lines = lineAmplitudes(unfired({ hum: { hz, share: 0.8 } }, 1024 * hz));
  const bin = 128; // 1024 samples a cycle, 2^17 samples
  expect(lines[bin]).toBeCloseTo(0.4, 5); // 0.8 of 0.5
  expect(Math.max(...lines.filter((_, k) => k < 0.8 * bin))).toBeLessThan(1e-5);
});

test('whine has the share of the strike that was asked for', () => {
  const steady = { ...PLAIN_SCENARIO.profile, wanderShare: 0 };
  const sound = { ...CLEAN_SOUND, noiseBelowDb: null, acCouplingHz: null, peak: 0.5, whineShare: 0.2 };
  const scenario = {
    ...PLAIN_SCENARIO,
    sampleRateHz: 51_200,
    seconds: 2 ** 17 / 51_200,
    bits: null,
    profile: steady,
  };
  const lines = lineAmplitudes(simulateWhole({ ...scenario, sound, misfireShare: 1 }).channels[0]!);
  // 15.6 cycles a turn at 2000 rpm: 520 Hz, whole cycles in 2.56 s only nearly, so the neighbours hold a little of it
  const bin = Math.round((520 * 2 ** 17) / 51_200);
  expect(Math.hypot(lines[bin - 1]!, lines[bin]!, lines[bin + 1]!)).toBeCloseTo(0.1, 2);
});

test('the clamped lead is the loudest; the others lie in the range asked for, each a little different', () => {
  const { voices } = recipeOf({ ...CLEAN_SOUND, crosstalk: { lowest: 0.03, highest: 0.65 } }, null, FACTS)
    .channels[0]!;
  expect(voices.map(({ source }) => source)).toEqual([0, 1, 2, 3]);
  expect(voices[0]!.amplitude).toBe(CLEAN_SOUND.peak);
  expect(voices[0]!.shape).toEqual(CLEAN_SOUND.shape);
  for (const { amplitude, shape } of voices.slice(1)) {
    expect(amplitude / CLEAN_SOUND.peak).toBeGreaterThanOrEqual(0.03);
    expect(amplitude / CLEAN_SOUND.peak).toBeLessThanOrEqual(0.65);
    expect(shape).not.toEqual(CLEAN_SOUND.shape);
  }
});

test('without crosstalk a plug lead is heard alone', () => {
  expect(recipeOf(CLEAN_SOUND, null, FACTS).channels[0]!.voices).toHaveLength(1);
});

test('on a coil lead every cylinder is heard nearly alike', () => {
  const { voices } = recipeOf(CLEAN_SOUND, null, { ...FACTS, pickup: 'coil' }).channels[0]!;
  expect(voices).toHaveLength(4);
  for (const { amplitude } of voices) expect(amplitude / CLEAN_SOUND.peak).toBeGreaterThan(0.94);
});

test('a sensor without leak hears no lead', () => {
  const [, sensor] = recipeOf(CLEAN_SOUND, { ...PLAIN_SENSOR, leakShare: 0 }, FACTS).channels;
  expect(sensor!.voices).toHaveLength(1);
});

test('an inverted clamp does not turn the sensor over', () => {
  const [clamp, sensor] = recipeOf({ ...CLEAN_SOUND, inverted: true }, PLAIN_SENSOR, FACTS).channels;
  expect(clamp!.inverted).toBe(true);
  expect(sensor!.inverted).toBe(false);
});

test('crosstalk of a pick-up without other leads is refused', () => {
  const sound = { ...CLEAN_SOUND, crosstalk: { lowest: 0.1, highest: 0.2 } };
  for (const pickup of ['coil', 'sensor'] as const)
    expect(() => recipeOf(sound, PLAIN_SENSOR, { ...FACTS, pickup })).toThrow(RangeError);
});
