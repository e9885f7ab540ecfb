import fc from 'fast-check';
import { expect, test } from 'vitest';
import { makeSignal, SignalMaker } from '../../../dsp/maker/signal-maker';
import {
  PLAIN_CHANNEL,
  PLAIN_RECIPE,
  PLAIN_STRIKE,
  type ChannelRecipe,
  type Impulse,
  type SignalRecipe,
} from '../../../dsp/maker/signal-recipe';

const RATE = 48_000;
const KICK = { share: -0.6, delayS: 1.5e-3, scatter: 0.1 };

/** Everything at once, on two channels. */
const FULL: SignalRecipe = {
  ...PLAIN_RECIPE,
  bits: 24,
  seed: 11,
  clockPpm: 80,
  amplitudeScatter: 0.2,
  lost: { perMinute: 600, shortestS: 1e-3, longestS: 50e-3 },
  channels: [
    {
      voices: [
        { source: 0, shape: PLAIN_STRIKE, amplitude: 0.5, kick: KICK },
        { source: 1, shape: { ...PLAIN_STRIKE, ringHz: 5000 }, amplitude: 0.2, kick: KICK },
      ],
      hum: { frequencyHz: 50, amplitudes: [0.2, 0.05, 0.1] },
      whine: { amplitudes: [0.02, 0.01], cyclesAt: (timeS) => 900 * timeS + 100 * timeS * timeS },
      strays: { perSecond: 20, lowestAmplitude: 0.1, highestAmplitude: 0.9 },
      acCouplingHz: 10,
      noiseSd: 0.01,
      pumping: { depthDb: 12, rateHz: 1 },
      inverted: true,
    },
    {
      ...PLAIN_CHANNEL,
      voices: [{ source: 2, shape: { kind: 'hall', widthS: 2e-4 }, amplitude: 0.3, kick: null }],
    },
  ],
};

function* beat(everyS: number, sources = 1): Generator<Impulse> {
  for (let k = 0; ; k++) yield { timeS: 0.005 + k * everyS, source: k % sources };
}

function whole(
  recipe: SignalRecipe,
  frames: number,
  impulses: Iterable<Impulse> = [],
  blockFrames = 4096,
): Float32Array[] {
  const out = recipe.channels.map(() => new Float32Array(frames));
  let at = 0;
  for (const block of makeSignal(new SignalMaker(recipe), impulses, frames, blockFrames)) {
    block.forEach((samples, c) => out[c]!.set(samples, at));
    at += block[0]!.length;
  }
  return out;
}

const channelOf = (change: Partial<ChannelRecipe>): ChannelRecipe => ({ ...PLAIN_CHANNEL, ...change });
const single = (
  change: Partial<ChannelRecipe>,
  frames: number,
  impulses: Iterable<Impulse> = [],
): Float32Array => whole({ ...PLAIN_RECIPE, channels: [channelOf(change)] }, frames, impulses)[0]!;

test('any cut into blocks gives the same samples, bit for bit, with everything at once', () => {
  const frames = 9_000;
  const reference = whole(FULL, frames, beat(0.013, 3));
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 8192 }), (blockFrames) => {
      expect(whole(FULL, frames, beat(0.013, 3), blockFrames)).toEqual(reference);
    }),
    { numRuns: 12, seed: 1, examples: [[1], [7], [8192]] },
  );
});

test('another seed gives another signal, the same seed the same', () => {
  const again = whole(FULL, 5000, beat(0.013));
  expect(whole(FULL, 5000, beat(0.013))).toEqual(again);
  expect(whole({ ...FULL, seed: 12 }, 5000, beat(0.013))[0]).not.toEqual(again[0]);
});

test('no impulse and an empty recipe give silence', () => {
  expect(single({}, 1000).every((x) => x === 0)).toBe(true);
});

test('a signal of no frames is empty', () => {
  expect(whole(PLAIN_RECIPE, 0, beat(0.01))[0]).toHaveLength(0);
});

test('an impulse sounds on every channel that listens to its source, and on no other', () => {
  const [first, second] = whole(
    { ...PLAIN_RECIPE, channels: FULL.channels.map((c) => channelOf({ voices: c.voices })) },
    2000,
    [{ timeS: 0.02, source: 2 }],
  );
  expect(first!.every((x) => x === 0)).toBe(true);
  expect(Math.max(...second!)).toBeCloseTo(0.3, 2);
});

test('scale multiplies an impulse', () => {
  const loud = single({}, 2000, [{ timeS: 0.02, source: 0 }]);
  const soft = single({}, 2000, [{ timeS: 0.02, source: 0, scale: 0.5 }]);
  loud.forEach((x, n) => expect(soft[n]).toBeCloseTo(x / 2, 6));
});

test('the kick comes at its delay with its share, and not where it is told to stay away', () => {
  const voices = [{ source: 0, shape: PLAIN_STRIKE, amplitude: 0.5, kick: { ...KICK, scatter: 0 } }];
  const at = { timeS: 0.02, source: 0 };
  const kicked = single({ voices }, 4000, [at]);
  const plain = single({ voices }, 4000, [{ ...at, kicks: false }]);
  expect(plain).toEqual(single({}, 4000, [at]));
  const kick = kicked.map((x, n) => x - plain[n]!);
  const lowest = kick.indexOf(Math.min(...kick));
  expect(Math.abs(lowest - (0.02 + 1.5e-3) * RATE)).toBeLessThan(1.5); // the peak stands within a sample of the onset
  expect(Math.min(...kick)).toBeLessThan(-0.6 * 0.5 * 0.8); // the peak may fall between two samples
  expect(Math.min(...kick)).toBeGreaterThan(-0.6 * 0.5 * 1.001);
});

test('sizes of strikes scatter by the share asked for', () => {
  const strikes = 2000;
  const samples = whole({ ...PLAIN_RECIPE, amplitudeScatter: 0.2 }, strikes * 480, beat(0.01))[0]!;
  const peaks = Array.from({ length: strikes }, (_, k) =>
    Math.max(...samples.subarray(k * 480, (k + 1) * 480)),
  );
  const mean = peaks.reduce((a, b) => a + b) / strikes;
  const sd = Math.sqrt(peaks.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (strikes - 1));
  // a normal cut at two standard deviations by clamping keeps sqrt(0.9202) of them [by hand: the integral of z² within, 0.7385, and 4 times 0.0455 outside]
  expect(sd / mean).toBeGreaterThan(0.2 * 0.959 * 0.95); // 2000 draws: 1.6 % standard error, three of them
  expect(sd / mean).toBeLessThan(0.2 * 0.959 * 1.05);
});

test('a clock that is fast by 100 ppm counts more samples to the same instant', () => {
  const maker = new SignalMaker({ ...PLAIN_RECIPE, clockPpm: 100 });
  maker.add({ timeS: 10, source: 0 });
  const samples = maker.render(481_000)[0]!;
  const top = samples.reduce((best, x, n) => (x > samples[best]! ? n : best), 0);
  expect(Math.abs(top - 480_048)).toBeLessThan(3); // 10 s of 48000 a second, and 48 more
  expect(maker.fileTimeS(10)).toBeCloseTo(10.001, 9);
});

test('lost blocks are cut out of the signal that would have been, and nothing else changes', () => {
  const recipe = { ...FULL, lost: null };
  const entire = whole(recipe, 60_000, beat(0.013, 3))[0]!;
  const maker = new SignalMaker(FULL);
  const kept: number[] = [];
  for (const block of makeSignal(maker, beat(0.013, 3), 30_000)) kept.push(...block[0]!);
  expect(maker.lost.length).toBeGreaterThan(3);
  const cut: number[] = [];
  let from = 0;
  for (const { frame, samples } of maker.lost) {
    cut.push(...entire.subarray(from, from + frame - cut.length));
    from = cut.length + maker.lost.filter((l) => l.frame <= frame).reduce((sum, l) => sum + l.samples, 0);
    expect(samples / RATE).toBeGreaterThan(0.9e-3);
    expect(samples / RATE).toBeLessThan(50.1e-3);
  }
  cut.push(...entire.subarray(from, from + 30_000 - cut.length));
  expect(kept).toEqual(cut);
});

test('an instant inside a lost block has no place in the recording; one after it stands earlier by what was lost', () => {
  const maker = new SignalMaker({ ...PLAIN_RECIPE, lost: FULL.lost });
  maker.render(RATE);
  const [first, second] = maker.lost;
  expect(maker.fileTimeS((first!.frame - 1) / RATE)).toBeCloseTo((first!.frame - 1) / RATE, 12);
  expect(maker.fileTimeS((first!.frame + first!.samples / 2) / RATE)).toBeNull();
  const between = (first!.frame + second!.frame) / 2;
  expect(maker.fileTimeS((between + first!.samples) / RATE)).toBeCloseTo(between / RATE, 12);
});

test('an impulse that comes too late for its samples is refused', () => {
  const maker = new SignalMaker(PLAIN_RECIPE);
  maker.render(4800);
  expect(() => maker.add({ timeS: 0.1, source: 0 })).toThrow(RangeError);
  expect(() => maker.add({ timeS: 0.1 + maker.leadS + 1e-9, source: 0 })).not.toThrow();
});

test('a rate that is none is refused', () => {
  expect(() => new SignalMaker({ ...PLAIN_RECIPE, sampleRateHz: 0 })).toThrow(/sampleRateHz/);
});

test('an hour’s worth of impulses is pulled only as its samples are made', () => {
  let pulled = 0;
  const counted = (function* () {
    for (const impulse of beat(0.01)) {
      pulled++;
      yield impulse;
    }
  })();
  const blocks = makeSignal(new SignalMaker(PLAIN_RECIPE), counted, 3600 * RATE, 4800);
  for (let i = 0; i < 10; i++) blocks.next();
  expect(pulled).toBeGreaterThan(98); // one second of a beat of a hundred
  expect(pulled).toBeLessThan(103);
});
