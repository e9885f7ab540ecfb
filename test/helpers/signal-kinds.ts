/** Kinds of made signal that the chain is held to, each drawn anew from its seed over what inputs and ignitions give.
 * Scenarios only: nothing here finds a strike. */
import type { EngineFacts } from '../../core/engine';
import { PLAIN_SCENARIO, type Scenario } from '../../core/scenario/scenario';
import { CLEAN_SOUND, drawSound, type Sound } from '../../core/scenario/sound';
import { createRandom, type Random } from '../../dsp/maker/random';

export interface Kind {
  readonly name: string;
  readonly scenario: (seed: number, sampleRateHz: number) => Scenario;
}

type Engine = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;
const PLUG: Engine = { strokes: 4, cylinders: 8, pickup: 'plug' };

/** Held at a speed anywhere from idle to racing, then swept, then held again; long enough for some forty strikes. */
function holdsAndSweep(random: Random): Scenario['profile'] {
  const low = 600 * (5000 / 600) ** random.uniform();
  const high = Math.min(10_000, low * random.between(1.2, 2.5));
  const holdS = 2.5;
  return {
    wanderShare: 0,
    corners: [
      { timeS: 0, rpm: low },
      { timeS: holdS, rpm: low },
      { timeS: holdS + random.between(2, 3), rpm: high },
    ],
  };
}

interface Drawn {
  readonly sound: Sound;
  readonly random: Random;
}

/** A quiet drawn sound: its noise anywhere from 35 to 60 dB below the strike, its peak anywhere not clipped. */
function drawn(seed: number): Drawn {
  const random = createRandom(seed, 40);
  const around = {
    ...CLEAN_SOUND,
    noiseBelowDb: random.between(35, 60),
    peak: 0.02 * 45 ** random.uniform(),
  };
  return { random, sound: drawSound(seed, around) };
}

function kind(
  name: string,
  sound: (drawn: Drawn) => Sound,
  more: (drawn: Drawn) => Partial<Scenario> = () => ({}),
): Kind {
  return {
    name,
    scenario: (seed, sampleRateHz) => {
      const from = drawn(seed);
      const made = sound(from);
      return {
        ...PLAIN_SCENARIO,
        sampleRateHz,
        bits: from.random.uniform() < 0.5 ? 16 : 24,
        seconds: 7,
        seed,
        engine: PLUG,
        profile: holdsAndSweep(from.random),
        sound: made,
        sparkScatterDeg: 0.05,
        ...more(from),
      };
    },
  };
}

const mild = { lowest: 0.03, highest: 0.3 };
const hz = (random: Random): 50 | 60 => (random.uniform() < 0.5 ? 50 : 60);

/** The kinds that must hold. */
export const KINDS: readonly Kind[] = [
  kind('clean', ({ sound }) => sound),
  kind('hum', ({ sound, random }) => ({
    ...sound,
    peak: Math.min(0.4, sound.peak),
    hum: { hz: hz(random), share: random.between(0.5, 1) },
  })),
  kind('whine', ({ sound, random }) => ({ ...sound, whineShare: random.between(0.02, 0.1) })),
  kind('inverted', ({ sound }) => ({ ...sound, inverted: true })),
  kind('clipped', ({ sound, random }) => ({ ...sound, peak: random.between(1.05, 3) })),
  kind('0.01 of full scale', ({ sound }) => ({ ...sound, peak: 0.01 })),
  kind(
    'misfires 8 %',
    ({ sound }) => sound,
    () => ({ misfireShare: 0.08 }),
  ),
  kind('strays', ({ sound, random }) => ({ ...sound, straysPerSecond: random.between(0.5, 3) })),
  kind('mild crosstalk', ({ sound }) => ({ ...sound, crosstalk: mild })),
  kind('lost blocks', ({ sound, random }) => ({ ...sound, lostPerMinute: random.between(10, 40) })),
];

const steady = (rpm: number): Pick<Scenario, 'profile'> => ({
  profile: { wanderShare: 0, corners: [{ timeS: 0, rpm }] },
});

/** More that a chain must live through; speeds in some of them change too fast for the figures above. */
export const HARDER_KINDS: readonly Kind[] = [
  kind(
    'two-stroke plug',
    ({ sound }) => sound,
    () => ({ engine: { strokes: 2, cylinders: 1, pickup: 'plug' } }),
  ),
  kind(
    'wasted spark',
    ({ sound }) => ({ ...sound, crosstalk: mild }),
    () => ({ engine: { ...PLUG, pickup: 'wasted' } }),
  ),
  kind(
    'coil lead, 8 cylinders',
    ({ sound }) => sound,
    () => ({ engine: { ...PLUG, pickup: 'coil' } }),
  ),
  kind(
    'coil lead, 4 cylinders, 10 000 rpm',
    ({ sound }) => sound,
    () => ({
      engine: { strokes: 4, cylinders: 4, pickup: 'coil' },
      ...steady(10_000),
      seconds: 4,
    }),
  ),
  kind(
    'coil lead, odd fire',
    ({ sound }) => sound,
    () => ({
      engine: { strokes: 4, cylinders: 6, pickup: 'coil' },
      firingDeg: [0, 90, 240, 330, 480, 570],
    }),
  ),
  kind(
    'coil lead, odd fire, misfires',
    ({ sound }) => sound,
    () => ({
      engine: { strokes: 4, cylinders: 4, pickup: 'coil' },
      firingDeg: [0, 180, 270, 450],
      misfireShare: 0.05,
    }),
  ),
  kind(
    'plug lead, 10 000 rpm',
    ({ sound }) => sound,
    () => ({ ...steady(10_000), seconds: 4 }),
  ),
  kind(
    'cranking',
    ({ sound }) => sound,
    ({ random }) => ({ ...steady(random.between(250, 400)), seconds: 10 }),
  ),
  kind(
    'just started',
    ({ sound }) => ({ ...sound, crosstalk: { lowest: 0.04, highest: 0.2 } }),
    ({ random }) => {
      const atS = random.between(0, 1);
      const idleRpm = random.between(700, 1200);
      return {
        profile: {
          wanderShare: 0.01,
          corners: [
            { timeS: 0, rpm: 200 },
            { timeS: atS, rpm: 220 },
            { timeS: atS + random.between(0.3, 0.8), rpm: idleRpm },
          ],
        },
        seconds: 10,
      };
    },
  ),
  kind(
    'rough idle',
    ({ sound }) => sound,
    ({ random }) => ({
      profile: { wanderShare: 0.08, corners: [{ timeS: 0, rpm: random.between(600, 1000) }] },
      seconds: 10,
    }),
  ),
  kind(
    'blip',
    ({ sound }) => sound,
    ({ random }) => {
      const atS = random.between(2, 3);
      return {
        profile: {
          wanderShare: 0.005,
          corners: [
            { timeS: 0, rpm: 900 },
            { timeS: atS, rpm: 900 },
            { timeS: atS + 0.5, rpm: 4500 },
            { timeS: atS + 0.8, rpm: 4500 },
            { timeS: atS + 2.3, rpm: 1000 },
          ],
        },
      };
    },
  ),
  kind(
    'repeated strikes',
    ({ sound }) => ({ ...sound, kick: null }),
    () => ({
      repeats: { belowRpm: 3000, spacingS: 1e-3, spanDeg: 20 },
    }),
  ),
  kind(
    'limiter',
    ({ sound }) => sound,
    ({ random }) => ({ limiterRpm: random.between(2000, 4000) }),
  ),
  kind(
    'limiter from the start',
    ({ sound }) => sound,
    ({ random }) => {
      const rpm = random.between(3000, 6000);
      return { limiterRpm: 0.9 * rpm, profile: { wanderShare: 0.002, corners: [{ timeS: 0, rpm }] } };
    },
  ),
  kind(
    'limiter for half a second',
    ({ sound }) => sound,
    ({ random }) => {
      const rpm = random.between(3000, 6000);
      return {
        limiterRpm: 1.05 * rpm,
        profile: {
          wanderShare: 0.002,
          corners: [
            { timeS: 0, rpm },
            { timeS: 3, rpm },
            { timeS: 3.1, rpm: 1.08 * rpm },
            { timeS: 3.5, rpm: 1.08 * rpm },
            { timeS: 3.6, rpm },
          ],
        },
      };
    },
  ),
  kind('crosstalk 65 %', ({ sound }) => ({
    ...sound,
    amplitudeScatter: 0.1,
    crosstalk: { lowest: 0.3, highest: 0.65 },
  })),
  kind(
    'crosstalk 65 %, 4 cylinders',
    ({ sound }) => ({ ...sound, amplitudeScatter: 0.1, crosstalk: { lowest: 0.5, highest: 0.65 } }),
    () => ({
      engine: { ...PLUG, cylinders: 4 },
    }),
  ),
  kind('crosstalk 62 %', ({ sound, random }) => ({
    ...sound,
    amplitudeScatter: 0.12,
    crosstalk: { lowest: random.between(0.3, 0.5), highest: 0.62 },
  })),
  kind('kick 80 %', ({ sound, random }) => ({
    ...sound,
    kick: { share: random.uniform() < 0.5 ? -0.8 : 0.8, delayS: random.between(0.8e-3, 2e-3) },
  })),
  kind(
    'all together',
    ({ sound, random }) => ({
      ...sound,
      amplitudeScatter: 0.12,
      crosstalk: { lowest: 0.3, highest: 0.62 },
      kick: { share: random.uniform() < 0.5 ? -0.8 : 0.8, delayS: random.between(0.8e-3, 2e-3) },
      straysPerSecond: 1.5,
    }),
    () => ({ misfireShare: 0.1, repeats: { belowRpm: 3000, spacingS: 1e-3, spanDeg: 20 } }),
  ),
  kind('noise at 18 dB', ({ sound }) => ({ ...sound, noiseBelowDb: 18 })),
  kind('noise at 12 dB', ({ sound }) => ({ ...sound, noiseBelowDb: 12 })),
  kind(
    'noise at 12 dB, misfires',
    ({ sound }) => ({ ...sound, noiseBelowDb: 12 }),
    () => ({ misfireShare: 0.1 }),
  ),
  kind('gain control, 16 dB', ({ sound }) => ({ ...sound, pumpingDb: 16, noiseBelowDb: 50 })),
];
