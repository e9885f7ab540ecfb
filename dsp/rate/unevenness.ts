/** How uneven an engine's cycles are, kept through corners of its speed: that is the engine's, and a corner does not change it.
 * By itself the likeliest ways of running just after a corner are those so restless that they hide their cycles, and after
 * those one would begin as if nothing were known. Weights of kinds in and out; allocates nothing. */
import { AT_FIRST, UNEVEN_CLASS, UNEVEN_CLASSES } from './rate-kinds';

/** How sure it is that cycles stay as uneven as they were. */
const KEPT = 0.95;
/** Strikes tell of cycles once kinds that do not hide them have so much of the weight. */
const TELLING = 0.5;

const N = AT_FIRST.length;
const sums = new Float64Array(UNEVEN_CLASSES);
const bySizes = (weights: Float64Array, into: Float64Array): number => {
  into.fill(0);
  let share = 0;
  for (let m = 0; m < N; m++) {
    if (UNEVEN_CLASS[m]! < 0) continue;
    into[UNEVEN_CLASS[m]!]! += weights[m]!;
    share += weights[m]!;
  }
  for (let c = 0; c < UNEVEN_CLASSES; c++) into[c]! /= share;
  return share;
};
const AT_FIRST_BY_SIZE = new Float64Array(UNEVEN_CLASSES);
bySizes(AT_FIRST, AT_FIRST_BY_SIZE);

export class Unevenness {
  /** Chance of each class. */
  readonly #chance = Float64Array.from(AT_FIRST_BY_SIZE);

  copy(from: Unevenness): void {
    this.#chance.set(from.#chance);
  }

  /** @param weights of all kinds after a strike, summing to 1 */
  learn(weights: Float64Array): void {
    if (bySizes(weights, sums) > TELLING) this.#chance.set(sums);
  }

  /** @param weights of all kinds as at first; changed to those of an engine as uneven as this one was */
  weigh(weights: Float64Array): void {
    for (let m = 0; m < N; m++) {
      const of = UNEVEN_CLASS[m]!;
      if (of >= 0) weights[m]! *= 1 - KEPT + (KEPT * this.#chance[of]!) / AT_FIRST_BY_SIZE[of]!;
    }
  }
}
