/** From strikes to engine speed: engine facts to what the strike chain must know, strike rates to revolutions a
 * minute. Knows rpm and degrees; sees no sample. */
import type { ChainOptions } from '../dsp/strike-chain';
import {
  HIGHEST_RPM,
  LOWEST_RPM,
  rateFromRpm,
  rpmFromRate,
  strikesPerTurn,
  type EngineFacts,
} from './engine';

export type SpeedEngine = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;

/** Crank degrees over which a capacitor-discharge box may repeat a strike. @source common practice: about 20 */
const REPEAT_DEG = 20;

/** @param engine its stroke, cylinders and where the clamp sits @param sampleRateHz of the sound
 * @returns what the chain must know of the strikes to come
 * @throws RangeError if the engine's figures cannot be */
export function chainOptionsFor(engine: SpeedEngine, sampleRateHz: number): ChainOptions {
  const perTurn = strikesPerTurn(engine);
  return {
    sampleRateHz,
    lowestRateHz: rateFromRpm(LOWEST_RPM, perTurn),
    highestRateHz: rateFromRpm(HIGHEST_RPM, perTurn),
    patternLength: strikesPerPattern(engine),
    repeatShare: (REPEAT_DEG / 360) * perTurn,
    pulses: engine.pickup === 'sensor' ? 'slow' : 'sharp',
    seeksClosing: engine.pickup === 'coil',
  };
}

/** A speed is said where its standard deviation is no more than this share of it: one that may as well be a fifth more or
 * less is none yet. The strikes after it tell it. */
const MOST_UNSURE = 0.1;

/** Strikes after which heights and intervals may repeat: one cycle's.
 * @source Common practice: a wasted-spark coil fires on the compression and on the exhaust stroke, where it needs less;
 * a coil lead fires every cylinder, on odd-fire engines unevenly. */
function strikesPerPattern({ strokes, cylinders, pickup }: SpeedEngine): number {
  if (pickup === 'coil') return cylinders;
  return pickup === 'wasted' && strokes === 4 ? 2 : 1;
}

/** @param rateHz and rateSdHz of a strike @returns speed and its standard deviation, revolutions a minute; null where
 * the strike has no rate, or one that its strikes do not carry yet */
export function speedOf(
  strike: { readonly rateHz: number | null; readonly rateSdHz: number | null },
  perTurn: number,
): { rpm: number; rpmSd: number } | null {
  const { rateHz, rateSdHz } = strike;
  if (rateHz === null || rateSdHz === null || rateSdHz > MOST_UNSURE * rateHz) return null;
  return { rpm: rpmFromRate(rateHz, perTurn), rpmSd: rpmFromRate(rateSdHz, perTurn) };
}
