/** Whether impulses are shaped like the strikes: the variance of an impulse's time tells what it has beside the learnt
 * shape. Variances of strikes and impulses in, what that speaks for and against a strike out. Allocates nothing. */
import type { BeatLimits } from './beat-limits';

/** An impulse shaped like the strikes; so far beside the shape it may be. */
const ALIKE = 1.8;
const ALIKE_BELOW = 4;
/** One that is shaped otherwise: so far beside the shape it is doubted, and so far it is another lead's; taken for a strike
 * it costs so much. */
const UNLIKE = 0.3;
const UNLIKE_FROM = 5;
const UNLIKE_TO = 12;
const UNLIKE_COST = 2.5;
const GAIN = 0.1;
/** Nothing lower by a strike is one for its shape alone. */
const LEAST_SHARE = 0.25;

export class Likeness {
  /** Usual variance of a strike's time, seconds squared; 0: none seen yet. */
  #usualVar = 0;
  #clear = true;

  constructor(private readonly limits: BeatLimits) {}

  /** @param clear the strikes stand clear of noise: else one strike says little of the shape */
  startAnew(clear: boolean): void {
    this.#clear = clear;
    this.#usualVar = 0;
  }

  /** @param timeVar of an accepted strike */
  take(timeVar: number): void {
    const isFirst = this.#usualVar === 0;
    const most = isFirst ? Infinity : ALIKE_BELOW * this.#usualVar;
    this.#usualVar += (isFirst ? 1 : GAIN) * (Math.min(timeVar, most) - this.#usualVar);
  }

  /** How much more it costs to leave an impulse out that is shaped like the strikes; below 1 where it is shaped unlike
   * them, as other leads' impulses are. @param share its peak by the strike's */
  alike(timeVar: number, share: number): number {
    if (!this.#clear || this.#usualVar === 0) return 1;
    const beside = timeVar / this.#usualVar;
    if (beside < ALIKE_BELOW) return ALIKE;
    if (this.limits.patternLength > 2) return 1; // a coil lead hears no other, and its own differ
    const unlike =
      Math.log((beside * Math.min(1, share * share)) / UNLIKE_FROM) / Math.log(UNLIKE_TO / UNLIKE_FROM);
    return 1 - (1 - UNLIKE) * Math.max(0, Math.min(1, unlike));
  }

  /** What it costs to take an impulse for a strike that is shaped unlike them. @param alike as told above */
  unlikeCost(alike: number): number {
    return (UNLIKE_COST * Math.max(0, 1 - alike)) / (1 - UNLIKE);
  }

  /** Whether an impulse is shaped so much like the strikes that only another strike can have made it. A lower one is timed
   * less well. */
  isOne(timeVar: number, share: number): boolean {
    return share >= LEAST_SHARE && timeVar < ALIKE_BELOW * this.#usualVar * Math.max(1, 1 / (share * share));
  }
}
