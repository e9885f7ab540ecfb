/** Watches whether a beat that is followed passes other strikes of its lead by, as one that stays slow while the engine is
 * blipped: then in nearly each of its intervals stands something as tall. Accepted strikes in, yes or no out. Allocates
 * nothing. */
import { tailS } from './beat-costs';
import type { BeatLimits } from './beat-limits';
import type { Candidates } from '../impulses/candidates';

/** As tall by the strikes on both sides: other leads seldom are, strays and kicks not in each interval. */
const AS_TALL = 0.9;
/** Of so many intervals so many have one. */
const INTERVALS = 6;
const PASSED = 5;

export class PassedWatch {
  /** Of the last intervals, newest in the lowest bit, whether something as tall was passed. */
  #passed = 0;

  constructor(
    private readonly all: Candidates,
    private readonly limits: BeatLimits,
  ) {}

  startAnew(): void {
    this.#passed = 0;
  }

  /** @param candidate of `all`, a strike @param before the one before it @param periodS mean interval
   * @returns whether strikes are passed by */
  take(candidate: number, before: number, periodS: number): boolean {
    const isOne = this.#passes(candidate, before, periodS) ? 1 : 0;
    this.#passed = ((this.#passed << 1) | isOne) & ((1 << INTERVALS) - 1);
    return countOf(this.#passed) >= PASSED;
  }

  #passes(candidate: number, before: number, periodS: number): boolean {
    const { all } = this;
    const [i, j] = [all.at(before), all.at(candidate)];
    const least = (AS_TALL * (all.peak[i]! + all.peak[j]!)) / 2;
    const untilS = all.timeS[i]! + tailS(periodS, this.limits.repeatShare);
    for (let c = candidate - 1; c > before && all.timeS[all.at(c)]! > untilS; c--)
      if (all.sign[all.at(c)] === 1 && all.peak[all.at(c)]! > least) return true;
    return false;
  }
}

function countOf(bits: number): number {
  let count = 0;
  for (let rest = bits; rest > 0; rest >>= 1) count += rest & 1;
  return count;
}
