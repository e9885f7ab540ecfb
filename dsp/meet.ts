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

const met: RateEstimate = { rateHz: 0, rateVar: 0 };
const scale = new Float64Array(3);
const lower = new Float64Array(9);
const gain = new Float64Array(3);

/** @param a and b place, rate, change, then the upper triangle of their covariance; b null: a alone
 * @returns the same object each time */
export function meet(a: Float64Array, b: Float64Array | null): RateEstimate {
  met.rateHz = a[RATE]!;
  met.rateVar = a[6]!;
  if (!b) return met;
  factor(a, b);
  for (let i = 0; i < 3; i++) gain[i] = a[AT[RATE][i]!]! / scale[i]!;
  solve();
  for (let i = 0; i < 3; i++) {
    const g = gain[i]! / scale[i]!;
    met.rateHz += g * (b[i]! - a[i]!);
    met.rateVar -= g * a[AT[RATE][i]!]!;
  }
  met.rateVar = Math.max(met.rateVar, 1e-6 * a[6]!);
  return met;
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

function solve(): void {
  for (let i = 0; i < 3; i++) {
    for (let k = 0; k < i; k++) gain[i]! -= lower[3 * i + k]! * gain[k]!;
    gain[i]! /= lower[3 * i + i]!;
  }
  for (let i = 2; i >= 0; i--) {
    for (let k = i + 1; k < 3; k++) gain[i]! -= lower[3 * k + i]! * gain[k]!;
    gain[i]! /= lower[3 * i + i]!;
  }
}
