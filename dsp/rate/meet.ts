/** Two independent estimates of the same five numbers (place in the beat, rate, change of the rate, how much faster the
 * cycle goes as it begins and as it ends) made one: what each says with its covariance in, the speed at the strike out.
 * Plain sums; allocates nothing.
 * @source Fraser & Potter 1969; Bar-Shalom, Li & Kirubarajan 2001, section 8.4.2 (memory) */
import { ELSEWHERE, UNTOLD } from './rate-model';
import { ELSE, STATES } from './rate-moments';

export interface RateEstimate {
  rateHz: number;
  rateVar: number;
}

/** How much of each number the speed at the strike is. */
const SPEED = [0, 1, 0, 0.5, 0.5] as const;
const RATE = 1;
/** Where the upper triangle's row and column stand among the numbers. */
const AT = [
  [5, 6, 7, 8, 9],
  [6, 10, 11, 12, 13],
  [7, 11, 14, 15, 16],
  [8, 12, 15, 17, 18],
  [9, 13, 16, 18, 19],
] as const;
const PLACE_VAR = 5;
const RATE_VAR = 10;
/** Variances of the cycle's own speeds as it begins and ends. */
const OWN_VARS = [17, 19] as const;
/** Keeps a direction of which nothing is said solvable. */
const RIDGE = 1e-12;
/** Chi-squared of three, one in a thousand; and how often it is the past that is wrong beyond that. */
const MOST_APART = 16.3;
/** Chi-squared of three, one in twenty: further apart, one of both may well be wrong by as much. By less they differ by
 * chance alone, and then that says nothing of how wrong they are together. */
const USUALLY_APART = 7.8;
/** So many deviations, squared, off its place a strike is still foretold. */
const FITS = 12;
/** Else, intervals squared, nothing is foretold. */
const KNOWN_PLACE_VAR = 0.01;
export const WRONG_SIDE_CHANCE = 0.07;

const met: RateEstimate = { rateHz: 0, rateVar: 0 };
const scale = new Float64Array(STATES);
const lower = new Float64Array(STATES * STATES);
const solved = new Float64Array(STATES);
/** What the past's numbers have in common with the speed. */
const common = new Float64Array(STATES);

/** Where the two are further apart than chance allows, the engine changed its way of running just there: before the
 * strike if the future foretells the strike's place, and better than the past did, else after it.
 * @param past and future as `momentsOf` tells them, the future without what is usual; null: the past alone
 * @param placeVar of the strike, intervals squared
 * @param pastOff how far off the place that the past foretold the strike came, intervals @param pastOffVar variance of it
 * @returns the same object each time */
export function meet(
  past: Float64Array,
  future: Float64Array | null,
  placeVar: number,
  pastOff: number,
  pastOffVar: number,
): RateEstimate {
  if (future) agreeOnCycles(past, future);
  speedBy(past);
  if (!future) return met;
  factor(past, future);
  const apart = distance(past, future);
  if (apart > MOST_APART) {
    const variance = future[PLACE_VAR]! + placeVar;
    const foretold = variance < KNOWN_PLACE_VAR && future[0]! ** 2 < FITS * variance;
    const between = (future[RATE]! - past[RATE]!) ** 2;
    if (foretold && misfit(future[0]!, variance) < misfit(pastOff, pastOffVar)) {
      met.rateHz = future[RATE]!;
      met.rateVar = future[RATE_VAR]! + (UNTOLD / ELSEWHERE) * future[ELSE]!;
    }
    met.rateVar += WRONG_SIDE_CHANCE * between;
    return met;
  }
  const own = met.rateVar - past[ELSE]!;
  for (let i = 0; i < STATES; i++) solved[i] = common[i]! / scale[i]!;
  forwards();
  backwards();
  for (let i = 0; i < STATES; i++) {
    const gain = solved[i]! / scale[i]!;
    met.rateHz += gain * (future[i]! - past[i]!);
    met.rateVar -= gain * common[i]!;
  }
  met.rateVar = Math.max(met.rateVar, past[ELSE]! + 1e-6 * own) * Math.max(1, apart / USUALLY_APART);
  return met;
}

/** Minus twice the logarithm of a place's density, but for a constant. */
const misfit = (off: number, variance: number): number => (off * off) / variance + Math.log(variance);

/** How uneven cycles are is the engine's, not a side's: a past that took uneven cycles for a restless rate, as just after
 * a corner, knows no more of a cycle's own speed than what the future has as usual. */
function agreeOnCycles(past: Float64Array, future: Float64Array): void {
  const more = future[ELSE]! - past[ELSE]!;
  if (more <= 0) return;
  past[ELSE]! += more;
  for (const at of OWN_VARS) past[at]! += more / ELSEWHERE;
}

/** The speed by one of them alone. */
function speedBy(moments: Float64Array): void {
  met.rateHz = 0;
  met.rateVar = moments[ELSE]!;
  for (let i = 0; i < STATES; i++) {
    met.rateHz += SPEED[i]! * moments[i]!;
    common[i] = 0;
    for (let j = 0; j < STATES; j++) common[i]! += SPEED[j]! * moments[AT[i]![j]!]!;
    met.rateVar += SPEED[i]! * common[i]!;
  }
}

/** How far apart they are, squared, in deviations: three on average where both are right and cycles are alike. */
function distance(past: Float64Array, future: Float64Array): number {
  for (let i = 0; i < STATES; i++) solved[i] = (future[i]! - past[i]!) / scale[i]!;
  forwards();
  let sum = 0;
  for (let i = 0; i < STATES; i++) sum += solved[i]! ** 2;
  return sum;
}

/** Cholesky factor of the sum of both covariances, each number in its own unit. */
function factor(a: Float64Array, b: Float64Array): void {
  for (let i = 0; i < STATES; i++) scale[i] = Math.sqrt(a[AT[i]![i]!]! + b[AT[i]![i]!]!) || 1;
  for (let i = 0; i < STATES; i++)
    for (let j = 0; j <= i; j++) {
      let sum = (a[AT[i]![j]!]! + b[AT[i]![j]!]!) / (scale[i]! * scale[j]!);
      if (i === j) sum += RIDGE;
      for (let k = 0; k < j; k++) sum -= lower[STATES * i + k]! * lower[STATES * j + k]!;
      lower[STATES * i + j] = i === j ? Math.sqrt(Math.max(sum, RIDGE)) : sum / lower[STATES * j + j]!;
    }
}

function forwards(): void {
  for (let i = 0; i < STATES; i++) {
    for (let k = 0; k < i; k++) solved[i]! -= lower[STATES * i + k]! * solved[k]!;
    solved[i]! /= lower[STATES * i + i]!;
  }
}

function backwards(): void {
  for (let i = STATES - 1; i >= 0; i--) {
    for (let k = i + 1; k < STATES; k++) solved[i]! -= lower[STATES * k + i]! * solved[k]!;
    solved[i]! /= lower[STATES * i + i]!;
  }
}
