/** How a lead and its neighbours have been of late: how tall the tallest impulse between strikes, and whether boxes repeat
 * strikes. Accepted strikes and the impulses beside them in, shares out. Allocates nothing. */
import type { Candidates } from '../impulses/candidates';
import { CROSSTALK_SHARE, tailS } from './beat-costs';
import type { BeatLimits } from './beat-limits';
import { wasRepeated } from './next-strike';

/** A box that repeats strikes repeats at least this share of them; told by the last ten or so. */
const REPEATS_ABOVE = 0.2;
const REPEATS_AT_FIRST = 0.5;
const REPEATS_GAIN = 0.1;
/** Other leads are taken for as tall as they can be until strikes have shown better; taller ones are believed sooner. */
const TALLER_GAIN = 0.4;
const LOWER_GAIN = 0.12;
/** They scatter: one may be so much taller than it was; and none is expected below this. */
const ROOM = 1.3;
const LEAST_OTHERS = 0.25;
/** Where a strike's kick falls on the next lead's strike, the two together are as tall as a strike, again and again. */
const MOST_OTHERS = 1;

export class Neighbours {
  #repeats = REPEATS_AT_FIRST;
  #tallest = CROSSTALK_SHARE;
  #last = -1;
  #clear = true;
  /** On a lead that was heard in ones and twos between cuts, no other lead was heard. */
  isAlone = false;

  constructor(
    private readonly all: Candidates,
    private readonly limits: BeatLimits,
  ) {}

  /** @param clear the strikes stand clear of noise: else what stands between them says nothing of other leads
   * @param isAlone none is heard beside it */
  startAnew(clear: boolean, isAlone: boolean): void {
    this.#clear = clear;
    this.isAlone = isAlone;
    this.#repeats = REPEATS_AT_FIRST;
    this.#tallest = CROSSTALK_SHARE;
    this.#last = -1;
  }

  /** How far this lead repeats its strikes, 0 to 1. */
  get repeated(): number {
    return Math.min(1, this.#repeats / REPEATS_ABOVE);
  }

  /** So tall by a strike another lead's may be. */
  get others(): number {
    if (!this.#clear) return CROSSTALK_SHARE;
    return Math.min(MOST_OTHERS, Math.max(LEAST_OTHERS, ROOM * this.#tallest));
  }

  /** @param candidate an accepted strike @param level its usual height */
  take(candidate: number, periodS: number, level: number): void {
    const repeated = wasRepeated(this.all, candidate, periodS, this.limits);
    this.#repeats += REPEATS_GAIN * ((repeated ? 1 : 0) - this.#repeats);
    if (this.#last >= this.all.first) this.#look(candidate, periodS, level);
    this.#last = candidate;
  }

  #look(candidate: number, periodS: number, level: number): void {
    const { all } = this;
    const fromS = all.timeS[all.at(this.#last)]! + tailS(periodS, this.limits.repeatShare);
    let tallest = 0;
    for (let c = candidate - 1; c > this.#last && all.timeS[all.at(c)]! > fromS; c--)
      if (all.sign[all.at(c)] === 1) tallest = Math.max(tallest, all.peak[all.at(c)]! / level);
    const gain = tallest > this.#tallest ? TALLER_GAIN : LOWER_GAIN;
    this.#tallest += gain * (Math.min(MOST_OTHERS, tallest) - this.#tallest);
  }
}
