/** What several models of a beat know together, for the place where past and future meet: numbers of models and their
 * weights in; place, rate, change, the cycle's own speeds and their covariance out. Allocates nothing. */
import {
  A,
  AA,
  AB,
  B,
  BB,
  CA,
  CB,
  CC,
  CHANGE,
  ELSEWHERE,
  N,
  PA,
  PB,
  PC,
  PLACE,
  PP,
  PR,
  RA,
  RATE,
  RB,
  RC,
  RR,
  SIZE,
  UNEVEN,
  unevenVar,
} from './rate-model';

/** A change that may just begin is not told of before it shows. */
export const LEAST_WEIGHT = 1e-2;
/** Of a cycle's own speed so much at least must be told by its strikes, as a share of what is usual, to be told at all. */
const LEAST_TOLD = 1e-3;

/** Place, rate, change, the cycle's own speeds as it begins and as it ends; row by row the upper triangle of their
 * covariance; the variance of what those five leave open of the speed at the strike. */
export const STATES = 5;
export const MOMENTS = STATES + (STATES * (STATES + 1)) / 2 + 1;
export const ELSE = MOMENTS - 1;
/** Where a model has them. */
const STATE = [PLACE, RATE, CHANGE, A, B] as const;
const COVARIANCE = [[PP, PR, PC, PA, PB], [RR, RC, RA, RB], [CC, CA, CB], [AA, AB], [BB]].flat();
/** Row and column of each covariance. */
const ROW = [0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 3, 3, 4];
const COLUMN = [0, 1, 2, 3, 4, 1, 2, 3, 4, 2, 3, 4, 3, 4, 4];

const one = new Float64Array(SIZE);
const off = new Float64Array(STATES);

/** @param slowS interval from which an engine is as restless as can be @param alone only what strikes tell of the cycle's
 * own speeds, not what is usual: for whom that is known already @param told `MOMENTS` numbers, written */
export function momentsOf(
  x: Float64Array,
  weights: Float64Array,
  slowS: number,
  alone: boolean,
  told: Float64Array,
): void {
  told.fill(0);
  let total = 0;
  for (let m = 0; m < N; m++) if (weights[m]! >= LEAST_WEIGHT) total += weights[m]!;
  for (let m = 0; m < N; m++) {
    if (weights[m]! < LEAST_WEIGHT) continue;
    take(x, m, slowS, alone);
    const share = weights[m]! / total;
    for (let i = 0; i < STATES; i++) told[i]! += share * one[STATE[i]!]!;
  }
  for (let m = 0; m < N; m++) {
    if (weights[m]! < LEAST_WEIGHT) continue;
    take(x, m, slowS, alone);
    const share = weights[m]! / total;
    for (let i = 0; i < STATES; i++) off[i] = one[STATE[i]!]! - told[i]!;
    for (let k = 0; k < COVARIANCE.length; k++) {
      told[STATES + k]! += share * (one[COVARIANCE[k]!]! + off[ROW[k]!]! * off[COLUMN[k]!]!);
    }
    if (UNEVEN[m]! > 0) told[ELSE]! += share * ELSEWHERE * unevenVar(x, m * SIZE, m, slowS);
  }
}

function take(x: Float64Array, m: number, slowS: number, alone: boolean): void {
  for (let k = 0; k < SIZE; k++) one[k] = x[m * SIZE + k]!;
  if (!alone || UNEVEN[m] === 0) return;
  const usual = unevenVar(x, m * SIZE, m, slowS);
  leaveOut(usual, A, PA, RA, CA, AA, AB);
  leaveOut(usual, B, PB, RB, CB, AB, BB);
}

/** Of one of the cycle's own speeds, what is usual. @source information of the one subtracted from that of both, as a
 * change of rank one (Sherman & Morrison 1950, memory) */
function leaveOut(usual: number, own: number, p: number, r: number, c: number, a: number, b: number): void {
  const [f, pf, rf, cf, af, bf] = [one[own]!, one[p]!, one[r]!, one[c]!, one[a]!, one[b]!];
  const by = 1 / Math.max(usual - (own === A ? af : bf), LEAST_TOLD * usual);
  one[PLACE]! += by * pf * f;
  one[RATE]! += by * rf * f;
  one[CHANGE]! += by * cf * f;
  one[A]! += by * af * f;
  one[B]! += by * bf * f;
  one[PP]! += by * pf * pf;
  one[PR]! += by * pf * rf;
  one[PC]! += by * pf * cf;
  one[RR]! += by * rf * rf;
  one[RC]! += by * rf * cf;
  one[CC]! += by * cf * cf;
  one[PA]! += by * pf * af;
  one[PB]! += by * pf * bf;
  one[RA]! += by * rf * af;
  one[RB]! += by * rf * bf;
  one[CA]! += by * cf * af;
  one[CB]! += by * cf * bf;
  one[AA]! += by * af * af;
  one[AB]! += by * af * bf;
  one[BB]! += by * bf * bf;
}
