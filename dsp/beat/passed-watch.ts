/** Watches whether a beat that is followed passes other strikes of its lead by, as one that stays slow while the engine is
 * blipped: then in nearly each of its intervals stands something as tall. Accepted strikes in, yes or no out. Allocates
 * nothing. */
import type { Candidates } from '../impulses/candidates';

/** As tall by the strikes on both sides: other leads seldom are, strays and kicks not in each interval. */
const AS_TALL = 0.9;
/** Sooner in an interval kicks and repeats stand, and a kick may fall on the next lead's strike, the two as tall as one. */
const LATE = 0.4;
/** Each interval so many are usual, and no more than so many count; where there are so many more than usual, strikes are
 * passed by. */
const USUAL = 0.5;
const MOST_EACH = 3;
const TOO_MANY = 6;

export class PassedWatch {
  /** How many more than usual were passed lately. */
  #more = 0;

  constructor(private readonly all: Candidates) {}

  startAnew(): void {
    this.#more = 0;
  }

  /** @param candidate of `all`, a strike @param before the one before it
   * @returns whether strikes are passed by
   * @source Page, Biometrika 41 (1954) 100-115: sums of what is more than usual, never less than none (memory) */
  take(candidate: number, before: number): boolean {
    const passed = Math.min(MOST_EACH, this.#passed(candidate, before));
    this.#more = Math.max(0, this.#more + passed - USUAL);
    return this.#more >= TOO_MANY;
  }

  #passed(candidate: number, before: number): number {
    const { all } = this;
    const [i, j] = [all.at(before), all.at(candidate)];
    const least = (AS_TALL * (all.peak[i]! + all.peak[j]!)) / 2;
    const untilS = all.timeS[i]! + LATE * (all.timeS[j]! - all.timeS[i]!);
    let passed = 0;
    for (let c = candidate - 1; c > before && all.timeS[all.at(c)]! > untilS; c--)
      if (all.sign[all.at(c)] === 1 && all.peak[all.at(c)]! > least) passed++;
    return passed;
  }
}
