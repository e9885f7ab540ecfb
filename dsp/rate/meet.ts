/** Two independent estimates of the same five numbers (place in the beat, rate, change of the rate, how much faster the
 * cycle goes as it begins and as it ends) made one: what each says with its covariance in, the speed at the strike out.
 * Plain sums; allocates nothing.
 * @source Fraser & Potter 1969; Bar-Shalom, Li & Kirubarajan 2001, section 8.4.2 (memory) */
import { ELSEWHERE } from './rate-model';
import { ELSE, STATES } from './rate-moments';

export interface RateEstimate {
  rateHz: number;
  rateVar: number;
}

/** How much of each number the speed at the strike is. */
const SPEED = [0, 1, 0, 0.5, 0.5] as const;
/** Where the upper triangle's row and column stand among the numbers. */
const AT = [
  [5, 6, 7, 8, 9],
  [6, 10, 11, 12, 13],
  [7, 11, 14, 15, 16],
  [8, 12, 15, 17, 18],
  [9, 13, 16, 18, 19],
] as const;
const RATE_VAR = 10;
/** Variances of the cycle's own speeds as it begins and ends. */
const OWN_VARS = [17, 19] as const;
/** Keeps a direction of which nothing is said solvable. */
const RIDGE = 1e-12;
/** Chi-squared, one in a thousand: of three where cycles are alike, and of five where each has its own speed as it begins
 * and as it ends. */
const MOST_APART = 16.3;
const MOST_APART_UNEVEN = 20.5;
/** The same, one in twenty: further apart, one of both may well be wrong by as much. By less they differ by chance alone,
 * and then that says nothing of how wrong they are together. */
const USUALLY_APART = 7.8;
const USUALLY_APART_UNEVEN = 11.1;
/** Of what is open of a cycle's speed by one side alone, so much stays where the intervals on both sides are known: 0.121 of
 * the cycle's variance, worked out from the areas under the straight lines as `ELSEWHERE` is, on average over engines whose
 * strikes keep their place in the cycle; 0.108 where the place moves. */
const OPEN_BETWEEN = 0.121 / ELSEWHERE;
/** That neither foretold the strike, since the engine changed on both sides of it, by intervals off its place; and chance
 * that the one which foretold it better is wrong all the same. */
const NEITHER = 4;
export const WRONG_SIDE_CHANCE = 0.02;
const LEAST_CHANCE = 0.003;
/** One side knows the rate better than the other by a variance so many times smaller. */
const SURER = 0.1;
const LOG_ROOT_2PI = 0.5 * Math.log(2 * Math.PI);

/** A strike as both sides foretold it and as it came. */
export interface Between {
  /** How far off the place foretold it came, in intervals, and the variance of that; far and large: it was not foretold. */
  pastOff: number;
  pastOffVar: number;
  futureOff: number;
  futureOffVar: number;
  /** The speed by the future alone. */
  futureHz: number;
  futureVar: number;
  /** Mean rates of the intervals before and after it, hertz; 0: not known. */
  beforeHz: number;
  afterHz: number;
}

const met: RateEstimate = { rateHz: 0, rateVar: 0 };
const scale = new Float64Array(STATES);
const lower = new Float64Array(STATES * STATES);
const solved = new Float64Array(STATES);
/** What the past's numbers have in common with the speed. */
const common = new Float64Array(STATES);

/** Where the two are further apart than chance allows, the engine changed its way of running just there: before the
 * strike if the future foretold the strike's place, and better than the past did, else after it; or on both sides of it.
 * @param past and future as `momentsOf` tells them, the future without what is usual; null: the past alone
 * @returns the same object each time */
export function meet(
  past: Float64Array,
  future: Float64Array | null,
  between: Readonly<Between>,
): RateEstimate {
  if (future) agreeOnCycles(past, future);
  speedBy(past);
  if (!future) return met;
  factor(past, future);
  const apart = distance(past, future);
  const isUneven = past[ELSE]! > 0;
  if (apart > (isUneven ? MOST_APART_UNEVEN : MOST_APART)) {
    meetAtCorner(between);
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
  const open = past[ELSE]!;
  met.rateVar = Math.max(met.rateVar - (1 - OPEN_BETWEEN) * open, OPEN_BETWEEN * open + 1e-6 * own);
  met.rateVar *= Math.max(1, apart / (isUneven ? USUALLY_APART_UNEVEN : USUALLY_APART));
  return met;
}

/** By the likeliest of the past (as it stands in `met`), the future, and the intervals on either side; the others add to
 * the variance what they differ by. */
function meetAtCorner(between: Readonly<Between>): void {
  const { pastOff, pastOffVar, futureOff, futureOffVar, futureHz, beforeHz, afterHz } = between;
  const byPast = density(pastOff, pastOffVar) + WRONG_SIDE_CHANCE;
  const byFuture = density(futureOff, futureOffVar) + WRONG_SIDE_CHANCE;
  const byNeither = beforeHz > 0 && afterHz > 0 ? NEITHER : 0;
  const total = byPast + byFuture + byNeither;
  const { rateHz: pastHz } = met;
  const middleHz = (beforeHz + afterHz) / 2;
  if (byNeither > Math.max(byPast, byFuture)) {
    met.rateHz = middleHz;
    met.rateVar = (afterHz - beforeHz) ** 2 / 12; // anywhere between
  } else if (byFuture > byPast) {
    met.rateHz = futureHz;
    met.rateVar = between.futureVar;
  }
  const { rateHz } = met;
  met.rateVar += byChance(byPast / total, pastHz - rateHz);
  met.rateVar += byChance(byFuture / total, futureHz - rateHz);
  met.rateVar += byChance(byNeither / total, middleHz - rateHz);
}

/** What a rate that is as likely as this adds to the variance. */
const byChance = (chance: number, off: number): number => (chance < LEAST_CHANCE ? 0 : chance * off * off);

/** Density of a place, by intervals. */
const density = (off: number, variance: number): number =>
  Math.exp((-0.5 * off * off) / variance - LOG_ROOT_2PI) / Math.sqrt(variance);

/** How uneven cycles are is the engine's, not a side's: a past that took uneven cycles for a restless rate, as just after
 * a corner, knows no more of a cycle's own speed than what the future has as usual, where that knows the rate better. */
function agreeOnCycles(past: Float64Array, future: Float64Array): void {
  const more = future[ELSE]! - past[ELSE]!;
  if (more <= 0 || past[RATE_VAR]! < SURER * future[RATE_VAR]!) return;
  past[ELSE]! += more;
  for (const at of OWN_VARS) past[at]! += more / ELSEWHERE;
}

/** The speed by one of them alone. @returns the same object each time */
export function speedBy(moments: Float64Array): RateEstimate {
  met.rateHz = 0;
  met.rateVar = moments[ELSE]!;
  for (let i = 0; i < STATES; i++) {
    met.rateHz += SPEED[i]! * moments[i]!;
    common[i] = 0;
    for (let j = 0; j < STATES; j++) common[i]! += SPEED[j]! * moments[AT[i]![j]!]!;
    met.rateVar += SPEED[i]! * common[i]!;
  }
  return met;
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
