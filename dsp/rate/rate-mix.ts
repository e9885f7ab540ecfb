/** What several models of a beat know, drawn together: each starts anew from all of them as far as the engine may have
 * changed its way of running. Numbers of models and their weights in and out. Allocates nothing.
 * @source Blom & Bar-Shalom, IEEE Trans. Automatic Control 33 (1988) 780-783 (memory) */
import { KINDS, LEVELS, MOVES, STAYS } from './rate-kinds';
import { A, AA, BB, CC, CHANGE, DRIFT, N, PC, PLACE, PP, PR, RATE, RC, RR, SIZE, UNEVEN } from './rate-model';

/** Sums over models: as many as place to covariance, and the share. */
const SUMS = 10;
const SHARE = 9;
/** What begins to be more restless by less than this share changes nothing but the weight: what a restless engine may do is
 * so wide that a ten-thousandth of it would outweigh all that is known of a calm one. */
const SELDOM = 1e-2;
/** What leaves a rate that had no change of its own may have begun to change, by so much in an interval. */
const BEGUN = 0.01;

/** Of all banks, one after the other. */
const sums = new Float64Array(LEVELS * SUMS);
const into = new Float64Array(SUMS);
const about = new Float64Array(3);
const fresh = new Float64Array(LEVELS * SUMS);
const risen = new Float64Array(LEVELS);
const LEVEL = Uint8Array.from(KINDS, ({ level }) => level);
const OF_LEVEL = Float64Array.from(KINDS, ({ share }) => share);

/** Each model starts from what all know, as far as the engine may have changed its way of running: sums by level, about
 * the mean of all. Where an engine calms down, that changes only the weight of a model which has more of its own than comes to
 * it: it goes on by itself until it foretells strikes so much worse than the others that little of its own is left, and then
 * begins anew from what they know. Drawn towards them before that, a calm one would be as unsure as they are and never win.
 * @param x the models' numbers @param weights of each, summing to 1 */
export function mix(x: Float64Array, weights: Float64Array): void {
  sums.fill(0);
  about.fill(0);
  for (let m = 0; m < N; m++) for (let k = 0; k < 3; k++) about[k]! += weights[m]! * x[m * SIZE + k]!;
  for (let m = 0; m < N; m++) gather(x, m * SIZE, weights[m]!, sums, LEVEL[m]! * SUMS);
  sums[CC]! += sums[SHARE]! * (BEGUN * about[1]! * about[1]!) ** 2;
  comeTo(SUMS);
  riseTo();
  for (let to = 0; to < N; to++) {
    const own = weights[to]! * STAYS[LEVEL[to]!]!;
    const drawn = OF_LEVEL[to]! * fresh[LEVEL[to]! * SUMS + SHARE]!;
    if (drawn < own && OF_LEVEL[to]! * risen[LEVEL[to]!]! < SELDOM * own) {
      weights[to] = own + drawn;
      continue;
    }
    const draw = DRIFT[to] === 0 ? mixLevel : mixDrifting;
    weights[to] = draw(x, to * SIZE, own, OF_LEVEL[to]!, LEVEL[to]! * SUMS);
    if (UNEVEN[to]! > 0) keepOwn(x, to * SIZE, own / weights[to]!, UNEVEN[to]!);
  }
}

/** Where strikes are missing the engine may have changed its way of running in each interval. */
export function mixWeights(weights: Float64Array): void {
  sums.fill(0);
  for (let m = 0; m < N; m++) sums[LEVEL[m]! * SUMS]! += weights[m]!;
  comeTo(1);
  for (let to = 0; to < N; to++)
    weights[to] = STAYS[LEVEL[to]!]! * weights[to]! + OF_LEVEL[to]! * fresh[LEVEL[to]! * SUMS]!;
}

/** What comes to each level from all, of the first so many sums. */
function comeTo(count: number): void {
  for (let to = 0; to < LEVELS; to++)
    for (let k = 0; k < count; k++) {
      let sum = 0;
      for (let from = 0; from < LEVELS; from++) sum += MOVES[from * LEVELS + to]! * sums[from * SUMS + k]!;
      fresh[to * SUMS + k] = sum;
    }
}

/** The weight that comes to each level from calmer ones. */
function riseTo(): void {
  for (let to = 0; to < LEVELS; to++) {
    risen[to] = 0;
    for (let from = 0; from < to; from++)
      risen[to]! += MOVES[from * LEVELS + to]! * sums[from * SUMS + SHARE]!;
  }
}

/** A model that stays as it is by so much, and by so much is drawn anew from what comes to its level.
 * @returns its weight */
function mixDrifting(x: Float64Array, at: number, own: number, share: number, level: number): number {
  for (let k = 0; k < SUMS; k++) into[k] = share * fresh[level + k]!;
  gather(x, at, own, into, 0);
  scatterInto(x, at);
  return into[SHARE]!;
}

/** The same where the rate has no change of its own. */
function mixLevel(x: Float64Array, at: number, own: number, share: number, level: number): number {
  const p = x[at + PLACE]! - about[0]!;
  const r = x[at + RATE]! - about[1]!;
  const total = own + share * fresh[level + SHARE]!;
  const meanP = (own * p + share * fresh[level]!) / total;
  const meanR = (own * r + share * fresh[level + 1]!) / total;
  x[at + PLACE] = about[0]! + meanP;
  x[at + RATE] = about[1]! + meanR;
  x[at + PP] = (own * (x[at + PP]! + p * p) + share * fresh[level + PP]!) / total - meanP * meanP;
  x[at + PR] = (own * (x[at + PR]! + p * r) + share * fresh[level + PR]!) / total - meanP * meanR;
  x[at + RR] = (own * (x[at + RR]! + r * r) + share * fresh[level + RR]!) / total - meanR * meanR;
  return total;
}

/** What a model knows of the cycle's own speed, by its own share: of what is drawn anew nothing is known of it. */
function keepOwn(x: Float64Array, at: number, share: number, uneven: number): void {
  const usual = (uneven * x[at + RATE]!) ** 2;
  for (let k = A; k < SIZE; k++) x[at + k]! *= share;
  x[at + AA]! += (1 - share) * usual;
  x[at + BB]! += (1 - share) * usual;
}

/** Adds a model's moments about the mean, so much of it. */
function gather(x: Float64Array, from: number, share: number, to: Float64Array, at: number): void {
  const p = x[from + PLACE]! - about[0]!;
  const r = x[from + RATE]! - about[1]!;
  const c = x[from + CHANGE]! - about[2]!;
  to[at]! += share * p;
  to[at + 1]! += share * r;
  to[at + 2]! += share * c;
  to[at + PP]! += share * (x[from + PP]! + p * p);
  to[at + PR]! += share * (x[from + PR]! + p * r);
  to[at + PC]! += share * (x[from + PC]! + p * c);
  to[at + RR]! += share * (x[from + RR]! + r * r);
  to[at + RC]! += share * (x[from + RC]! + r * c);
  to[at + CC]! += share * (x[from + CC]! + c * c);
  to[at + SHARE]! += share;
}

/** A model out of what was gathered. */
function scatterInto(y: Float64Array, at: number): void {
  const total = into[SHARE]!;
  const p = into[0]! / total;
  const r = into[1]! / total;
  const c = into[2]! / total;
  y[at + PLACE] = about[0]! + p;
  y[at + RATE] = about[1]! + r;
  y[at + CHANGE] = about[2]! + c;
  y[at + PP] = into[PP]! / total - p * p;
  y[at + PR] = into[PR]! / total - p * r;
  y[at + PC] = into[PC]! / total - p * c;
  y[at + RR] = into[RR]! / total - r * r;
  y[at + RC] = into[RC]! / total - r * c;
  y[at + CC] = into[CC]! / total - c * c;
}
