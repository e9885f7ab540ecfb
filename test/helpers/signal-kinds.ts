/** Kinds of made signal that the chain is held to, each drawn anew from its seed over what inputs and ignitions give.
 * Scenarios only: nothing here finds a strike. */
import type { EngineFacts } from '../../core/engine';
import { PLAIN_SCENARIO, type Scenario } from '../../core/scenario';
import { CLEAN_SOUND, drawSound, type Sound } from '../../core/sound';
import { createRandom, type Random } from '../../dsp/random';

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
