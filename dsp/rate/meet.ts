/** Two independent estimates of the same three numbers (place in the beat, rate, change of the rate) made one: what each
 * says with its covariance in, the rate out. Plain sums; allocates nothing.
 * @source Fraser & Potter 1969; Bar-Shalom, Li & Kirubarajan 2001, section 8.4.2 (memory) */

export interface RateEstimate {
  rateHz: number;
  rateVar: number;
}

const RATE = 1;
/** Where the upper triangle's row and column stand in the nine numbers. */
const AT = [
  [3, 4, 5],
  [4, 6, 7],
  [5, 7, 8],
] as const;
/** Keeps a direction of which nothing is said solvable. */
const RIDGE = 1e-12;
/** Chi-squared of three, one in a thousand; and how often it is the past that is wrong beyond that. */
const MOST_APART = 16.3;
/** So many deviations, squared, off its place a strike is still foretold. */
const FITS = 12;
/** Else, intervals squared, nothing is foretold. */
const KNOWN_PLACE_VAR = 0.01;
export const WRONG_SIDE_CHANCE = 0.07;

const met: RateEstimate = { rateHz: 0, rateVar: 0 };
const scale = new Float64Array(3);
const lower = new Float64Array(9);
const solved = new Float64Array(3);

/** Where the two are further apart than chance allows, the engine changed its way of running just there: before the
 * strike if the future foretells the strike's place, and better than the past did, else after it.
 * @param past and future place, rate, change, then the upper triangle of their covariance; future null: the past alone
 * @param placeVar of the strike, intervals squared
 * @param pastOff how far off the place that the past foretold the strike came, intervals
 * @returns the same object each time */
export function meet(
  past: Float64Array,
  future: Float64Array | null,
  placeVar: number,
  pastOff: number,
): RateEstimate {
  met.rateHz = past[RATE]!;
  met.rateVar = past[6]!;
  if (!future) return met;
  factor(past, future);
  const apart = distance(past, future);
  if (apart > MOST_APART) {
    const between = (future[RATE]! - past[RATE]!) ** 2;
    const variance = future[3]! + placeVar;
    const foretold = variance < KNOWN_PLACE_VAR && future[0]! ** 2 < FITS * variance;
    if (foretold && Math.abs(future[0]!) < Math.abs(pastOff)) {
      met.rateHz = future[RATE]!;
      met.rateVar = future[6]!;
    }
    met.rateVar += WRONG_SIDE_CHANCE * between;
    return met;
  }
  for (let i = 0; i < 3; i++) solved[i] = past[AT[RATE][i]!]! / scale[i]!;
  forwards();
  backwards();
  for (let i = 0; i < 3; i++) {
    const gain = solved[i]! / scale[i]!;
    met.rateHz += gain * (future[i]! - past[i]!);
    met.rateVar -= gain * past[AT[RATE][i]!]!;
  }
  met.rateVar = Math.max(met.rateVar, 1e-6 * past[6]!) * Math.max(1, apart / 3);
  return met;
}

/** How far apart they are, squared, in deviations: three on average where both are right. */
function distance(past: Float64Array, future: Float64Array): number {
  for (let i = 0; i < 3; i++) solved[i] = (future[i]! - past[i]!) / scale[i]!;
  forwards();
  return solved[0]! ** 2 + solved[1]! ** 2 + solved[2]! ** 2;
}

/** Cholesky factor of the sum of both covariances, each number in its own unit. */
function factor(a: Float64Array, b: Float64Array): void {
  for (let i = 0; i < 3; i++) scale[i] = Math.sqrt(a[AT[i]![i]!]! + b[AT[i]![i]!]!) || 1;
  for (let i = 0; i < 3; i++)
    for (let j = 0; j <= i; j++) {
      let sum = (a[AT[i]![j]!]! + b[AT[i]![j]!]!) / (scale[i]! * scale[j]!);
      if (i === j) sum += RIDGE;
      for (let k = 0; k < j; k++) sum -= lower[3 * i + k]! * lower[3 * j + k]!;
      lower[3 * i + j] = i === j ? Math.sqrt(Math.max(sum, RIDGE)) : sum / lower[3 * j + j]!;
    }
}

function forwards(): void {
  for (let i = 0; i < 3; i++) {
    for (let k = 0; k < i; k++) solved[i]! -= lower[3 * i + k]! * solved[k]!;
    solved[i]! /= lower[3 * i + i]!;
  }
}

function backwards(): void {
  for (let i = 2; i >= 0; i--) {
    for (let k = i + 1; k < 3; k++) solved[i]! -= lower[3 * k + i]! * solved[k]!;
    solved[i]! /= lower[3 * i + i]!;
  }
}
