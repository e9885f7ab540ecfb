/** What is said of a signal, on made signals whose faults are known; and the words at the edge of each figure. */
import { describe, expect, test } from 'vitest';
import type { HeardSignal } from '../../core/decode-heard';
import { createDecoder } from '../../core/decode';
import { PLAIN_SCENARIO, type Scenario } from '../../core/scenario/scenario';
import { simulate } from '../../core/scenario/simulate';
import { CLEAN_SOUND, type Sound } from '../../core/scenario/sound';
import { signalAdvice, type SignalFigures } from '../../core/signal-advice';

/** A V8's plug lead at 2400 rpm: twenty strikes a second. */
const MADE: Scenario = {
  ...PLAIN_SCENARIO,
  ...{ sampleRateHz: 44_100, seconds: 8, seed: 4, sparkScatterDeg: 0.1 },
  profile: { corners: [{ timeS: 0, rpm: 2400 }], wanderShare: 0.003 },
};
const SOUND: Sound = { ...CLEAN_SOUND, noiseBelowDb: 45 };

function heard(sound: Partial<Sound>, scenario: Partial<Scenario> = {}): HeardSignal {
  const made = { ...MADE, ...scenario, sound: { ...SOUND, ...sound } };
  const decoder = createDecoder({ sampleRateHz: made.sampleRateHz, engine: made.engine }, {});
  for (const [clamp] of simulate(made).blocks) decoder.push(clamp!);
  decoder.finish();
  return decoder.heard()!;
}
const said = (figures: SignalFigures): string =>
  signalAdvice(figures)
    .map(({ kind, says, act }) => `${kind}: ${says} ${act}`.trim())
    .join('\n');

test('a clean signal is drawn as it was made, and nothing is to mend', () => {
  const { figures, strike } = heard({ amplitudeScatter: 0.1 });
  expect(said(figures)).toBe('well: Nothing to mend.');
  expect(figures.heightScatter).toBeGreaterThan(0.07); // made: 10 %
  expect(figures.heightScatter).toBeLessThan(0.13);
  expect(figures.overNoiseDb).toBeGreaterThan(41); // made: 45 dB
  expect(figures.overNoiseDb).toBeLessThan(49);
  expect(figures).toMatchObject({
    missed: 0,
    strays: 0,
    clipped: 0,
    neighbourShare: null,
    pointsDown: false,
  });
  // beside the strike itself stands the noise alone, 45 dB below: 0.0056 of the peak as made
  expect(strike.scatter[8]).toBeGreaterThan(0.003);
  expect(strike.scatter[8]).toBeLessThan(0.012);
  const tallestAt = strike.shape.reduce((at, value, i) => (value > strike.shape[at]! ? i : at), 0);
  expect(Math.abs(tallestAt / strike.pointsPerS - strike.alignedAtS)).toBeLessThan(0.35e-3); // as far as a peak is looked for
});

test('other leads at up to 60 % are heard as loud as they were made, and the clamp is to be turned', () => {
  const { figures } = heard({ crosstalk: { lowest: 0.5, highest: 0.6 }, amplitudeScatter: 0.1 });
  expect(figures.neighbourShare).toBeGreaterThan(0.5);
  expect(figures.neighbourShare).toBeLessThan(0.66); // the tallest of seven, each with its own shape
  expect(figures.strays).toBe(0);
  expect(said(figures)).toMatch(
    /^look: Another lead is heard at \d\d % of the strike \(−[456] dB\)\. Turn the clamp/,
  );
});

test('strikes taller than full scale are counted as cut off, and the level is to come down', () => {
  const { figures } = heard({ peak: 1.6 });
  expect(figures.clipped).toBe(figures.strikes);
  expect(figures.pointsDown).toBeNull();
  expect(said(figures)).toMatch(
    /^wrong: \d+ of the last \d+ strikes are cut off at full scale\. Bring the input level down/,
  );
});

test('strikes that now and then reach full scale are worth a look', () => {
  // Heights differ by 10 %: above 1 / 0.85 lies a normal variable beyond 1.76 deviations, 3.9 % of them.
  const { figures } = heard({ peak: 0.85, amplitudeScatter: 0.1 });
  expect(figures.clipped).toBeGreaterThan(1);
  expect(figures.clipped).toBeLessThan(16);
  expect(said(figures)).toMatch(/^look: .*full scale/);
});

test('a misfire among clear strikes is called one, with its count', () => {
  const { figures } = heard({}, { misfireShare: 0.06 });
  expect(figures.missed).toBeGreaterThan(3); // of 160 due, 10 as made on the mean
  expect(figures.missed).toBeLessThan(19);
  expect(said(figures)).toMatch(
    /^look: \d+ of the last 1[56]\d strikes did not come\. .*not there\. The engine misfires/,
  );
});

test('impulses that belong to nothing are counted', () => {
  const { figures } = heard({ straysPerSecond: 2 });
  expect(figures.strays).toBeGreaterThan(5); // 16 as made on the mean, three in four of them half a strike or taller
  expect(figures.strays).toBeLessThan(20);
  expect(said(figures)).toMatch(/^look: \d+ impulses among the last \d+ strikes belong to nothing/);
});

test('noise 12 dB below the strike is told in decibels', () => {
  const { figures } = heard({ noiseBelowDb: 12 });
  expect(figures.overNoiseDb).toBeGreaterThan(9);
  expect(figures.overNoiseDb).toBeLessThan(17);
  expect(figures.strays).toBeLessThan(4);
  expect(said(figures)).toMatch(
    /(wrong|look): Strikes stand only 1\d dB over what is beside them\. Close the clamp/,
  );
});

test('a gain control that pumps by 16 dB is told from strikes that differ', () => {
  const { figures } = heard({ pumpingDb: 16 });
  expect(figures.swingDb).toBeGreaterThan(10);
  expect(figures.swingDb).toBeLessThan(18);
  expect(figures.heightScatter).toBeLessThan(0.2);
  expect(said(figures)).toMatch(/height swings slowly by 1\d dB\. Turn automatic gain off/);
});

test('a weak strike upside down: the level is to come up, the clamp may stay as it is', () => {
  const { figures } = heard({ peak: 0.008, inverted: true, noiseBelowDb: 35 });
  expect(figures.pointsDown).toBe(true);
  expect(said(figures)).toMatch(/^look: Strikes reach only 0\.\d % of full scale\. Turn the input level up/);
  expect(said(figures)).toContain('well: Strikes point down');
});

test('before a dozen strikes nothing is learnt', () => {
  const made = { ...MADE, sound: SOUND, seconds: 0.3 };
  const decoder = createDecoder({ sampleRateHz: made.sampleRateHz, engine: made.engine }, {});
  expect(decoder.heard()).toBeNull();
  for (const [clamp] of simulate(made).blocks) decoder.push(clamp!);
  decoder.finish();
  expect(decoder.heard()).toBeNull();
});

describe('at the edges', () => {
  const GOOD: SignalFigures = {
    ...{
      strikes: 200,
      missed: 0,
      mostMissed: 0,
      strays: 0,
      clipped: 0,
      height: 0.3,
      heightScatter: 0.1,
      swingDb: 1,
    },
    ...{
      smallestShare: 0.8,
      overNoiseDb: 40,
      neighbourShare: null,
      knowsNeighbours: true,
      pointsDown: false,
    },
    ...{ peak: 0.4, humAmplitude: null, humHz: null },
  };
  test.each<[string, Partial<SignalFigures>, RegExp]>([
    ['nothing wrong', {}, /^well: Nothing to mend\.$/],
    ['before other leads are known no stray is told', { knowsNeighbours: false }, /^well: Nothing/],
    ['a peak at 95 % of full scale', { peak: 0.95 }, /^look: The sound peaks at 95 % of full scale/],
    ['one strike in two hundred cut off', { clipped: 1 }, /^well: Nothing/],
    // 20 log10(0.7) = −3.1 dB: hand arithmetic
    [
      'a lead as loud as two thirds',
      { neighbourShare: 0.7 },
      /^wrong: Another lead is heard at 70 % .*\(−3 dB\)/,
    ],
    ['a mild neighbour', { neighbourShare: 0.2 }, /^well: Nothing/],
    // 20 dB and 20 log10(0.5) = −6 dB leave 14 dB
    [
      'missing among small strikes',
      { missed: 5, mostMissed: 1, overNoiseDb: 20, smallestShare: 0.5 },
      /^look: 5 of the last 205 .*too weak: the smallest that came stand 14 dB/,
    ],
    [
      'many missing in a row',
      { missed: 9, mostMissed: 9 },
      /9 of them in a row\. .*A limiter cuts like this/,
    ],
    ['more missing than usual', { missed: 40, mostMissed: 2 }, /^wrong: 40 of the last 240/],
    ['strikes that differ by 40 %', { heightScatter: 0.4 }, /^look: Strikes differ by 40 %/],
    [
      'hum as tall as the strike',
      { humAmplitude: 0.3, humHz: 50 },
      /^look: Mains hum at 50 Hz stands at 100 % of/,
    ],
    [
      'what is wrong before what is worth a look',
      { missed: 5, clipped: 100 },
      /^wrong: 100 of[^]*look: 5 of/,
    ],
  ])('%s', (_, patch, words) => expect(said({ ...GOOD, ...patch })).toMatch(words));
});
