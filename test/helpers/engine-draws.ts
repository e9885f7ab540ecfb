/** Engines of all kinds, driven in all ways, each heard by an input drawn from its seed: low crosstalk, kicks, strays and now
 * and then a misfire together. Scenarios only: nothing here finds a strike. */
import { blipProfile, idleProfile } from '../../core/commands/simulate-presets';
import type { EngineFacts } from '../../core/engine';
import { PLAIN_SCENARIO, type Scenario } from '../../core/scenario/scenario';
import { CLEAN_SOUND, drawSound, type Sound } from '../../core/scenario/sound';
import { createRandom, type Random } from '../../dsp/maker/random';

export type DrawnEngine = readonly [EngineFacts['strokes'], number, EngineFacts['pickup']];

type Driven = Pick<Scenario, 'profile' | 'seconds'>;
export const DRIVES = {
  idle: () => ({ profile: idleProfile(800), seconds: 8 }),
  held: (random) => ({
    profile: { wanderShare: 0.005, corners: [{ timeS: 0, rpm: random.between(600, 6000) }] },
    seconds: 6,
  }),
  sweep: () => ({
    profile: {
      wanderShare: 0.003,
      corners: [
        { timeS: 0, rpm: 700 },
        { timeS: 2, rpm: 700 },
        { timeS: 8, rpm: 5500 },
      ],
    },
    seconds: 9,
  }),
  blip: () => ({ profile: blipProfile(8), seconds: 8 }),
} as const satisfies Record<string, (random: Random) => Driven>;
export type Drive = keyof typeof DRIVES;

function soundOf(seed: number, [, cylinders, pickup]: DrawnEngine, random: Random): Sound {
  const [noiseBelowDb, peak] = [random.between(25, 45), 0.02 * 30 ** random.uniform()];
  const sound = drawSound(seed, { ...CLEAN_SOUND, noiseBelowDb, peak });
  const hearsOthers = pickup !== 'coil' && cylinders > 1;
  return {
    ...sound,
    crosstalk: hearsOthers ? { lowest: 0.05, highest: random.between(0.1, 0.5) } : sound.crosstalk,
    kick: { share: random.between(-0.5, 0.5), delayS: random.between(0.8e-3, 2e-3) },
    straysPerSecond: random.between(0, 1),
  };
}

/** @param seed the same seed, the same scenario */
export function engineDraw(engine: DrawnEngine, drive: Drive, seed: number, sampleRateHz = 48_000): Scenario {
  const random = createRandom(seed, 77);
  const [strokes, cylinders, pickup] = engine;
  const driven = DRIVES[drive](random);
  const sound = soundOf(seed, engine, random);
  const misfireShare = random.uniform() < 0.5 ? 0 : 0.03;
  return {
    ...PLAIN_SCENARIO,
    ...driven,
    ...{ sampleRateHz, bits: 16, seed, sound, misfireShare, sparkScatterDeg: 0.1 },
    engine: { strokes, cylinders, pickup },
  };
}
