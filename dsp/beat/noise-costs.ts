/** What speaks for and against an impulse as a strike where noise stands as tall as strikes: natural logarithms of
 * likelihoods by those of noise alone. Heights and times in, plain figures out. Keeps no state. */
import type { Candidates } from '../impulses/candidates';
import { CROSSTALK_SHARE, KICK_S } from './beat-costs';

/** By the learnt shape noise swings so often a second: about as a clamp rings. */
const NOISE_SWINGS_HZ = 7000;
/** Strikes scatter so much in height, with heavy tails. */
const HEIGHT_SCATTER = 0.3;
/** Impulses a second beside noise: other leads', up to their share of a strike, and strays of any height. */
const OTHERS_PER_S = 20;
const STRAYS_PER_S = 1.5;
/** What stands nearer is the same impulse; from here on a strike rings, and kicks. */
const RINGS_FROM_S = 0.2e-3;
const LOG_ROOT_TWO_PI = 0.5 * Math.log(2 * Math.PI);
/** The engine's speed begins to change, or changes otherwise, so often a second; never surely. */
const TURNS_PER_S = 0.2;
const MOST_TURNS = 0.3;

/** Noise peaks so high so often, hertz by deviation of the noise. @param height in its deviations
 * @source Rice, "Mathematical analysis of random noise" (1945) (memory) */
export const noisePeaksHz = (height: number): number =>
  NOISE_SWINGS_HZ * height * Math.exp((-height * height) / 2);

/** How likely a strike is so tall, by how many impulses a second are so by themselves, natural logarithm of seconds.
 * @param height and @param level of an impulse and of the usual strike, in deviations of the noise */
function heightEvidence(height: number, level: number): number {
  const deviation = Math.sqrt(1 + (HEIGHT_SCATTER * level) ** 2);
  const z = (height - level) / deviation;
  const strike = -2.5 * Math.log1p((z * z) / 5) - Math.log(deviation) - LOG_ROOT_TWO_PI;
  const noise = noisePeaksHz(height);
  const others = height < CROSSTALK_SHARE * level ? OTHERS_PER_S / (CROSSTALK_SHARE * level) : 0;
  return strike - Math.log(noise + others + STRAYS_PER_S / level);
}

/** What an impulse's height costs, natural logarithm by seconds. What something taller comes just before may be
 * its ringing or kick: costlier by as much as that itself is a strike.
 * @param level usual height of a strike @param dueS from strike to strike */
export function heightCostAmongNoise(
  all: Candidates,
  candidate: number,
  level: number,
  dueS: number,
): number {
  const i = all.at(candidate);
  const noise = all.noise[i]!;
  const own = heightEvidence(all.peak[i]! / noise, level / noise);
  const before = all.tallestBefore(candidate, Math.min(KICK_S, 0.6 * dueS), RINGS_FROM_S);
  if (before <= all.peak[i]!) return -own;
  return Math.max(0, heightEvidence(before / noise, level / noise) - Math.log(KICK_S)) - own;
}

/** How a strike came by its time. */
export interface Timed {
  /** Natural logarithm of the density of its time, relatively. */
  logDensity: number;
  /** Chance that the engine's speed turned before it. */
  turned: number;
}

/** @param deviation of the time, relative @param variance of it while the engine goes on as it did @param turnVar what is
 * added where its speed turns @param sinceS so long it may have turned @param into what it tells */
export function timeDensity(
  deviation: number,
  variance: number,
  turnVar: number,
  sinceS: number,
  into: Timed,
): void {
  const chance = Math.min(MOST_TURNS, TURNS_PER_S * sinceS);
  const square = deviation * deviation;
  const on = ((1 - chance) * Math.exp(-0.5 * (square / variance))) / Math.sqrt(variance);
  const wide = variance + turnVar;
  const turned = chance / ((1 + square / (3 * wide)) ** 2 * Math.sqrt(wide));
  into.logDensity = Math.log(on + turned) - LOG_ROOT_TWO_PI;
  into.turned = turned / (on + turned);
}
