/** Watches whether a beat that is followed is every other strike of one twice as fast: then something about as tall keeps
 * standing halfway. Accepted strikes in, yes or no out. Allocates nothing. */
import type { Candidates } from '../impulses/candidates';

/** It stands so near the middle, in intervals, and is so tall by the usual strike: noise seldom is, other leads are lower. */
const NEAR = 0.01;
const LEAST_SHARE = 0.7;
/** The newest interval's part in the share of intervals that have one, and how much that share says. */
const GAIN = { amongNoise: 0.12, clear: 0.25 } as const;
const MOST_SHARE = 0.7;
/** What stands there is as tall as a strike, natural logarithm: a lead that fires halfway is no taller than 0.65, -0.43. It is
 * taken for that until seen. */
const LEAST_LOG_HEIGHT = -0.15;
const LOG_HEIGHT_AT_FIRST = -0.6;

export class HalfSpeedWatch {
  #share = 0;
  #logHeight = LOG_HEIGHT_AT_FIRST;

  constructor(private readonly all: Candidates) {}

  startAnew(): void {
    this.#share = 0;
    this.#logHeight = LOG_HEIGHT_AT_FIRST;
  }

  /** @param candidate of `all`, a strike @param before the one before it, one interval earlier @param level usual height
   * @param clear strikes stand clear of the noise, so that heights tell
   * @returns whether there are as many strikes again halfway */
  take(candidate: number, before: number, level: number, clear: boolean): boolean {
    const share = this.#halfway(candidate, before) / level;
    const isOne = share > (clear ? 0 : LEAST_SHARE);
    const gain = GAIN[clear ? 'clear' : 'amongNoise'];
    this.#share += gain * ((isOne ? 1 : 0) - this.#share);
    if (isOne) this.#logHeight += gain * (Math.log(share) - this.#logHeight);
    return this.#share > MOST_SHARE && (!clear || this.#logHeight > LEAST_LOG_HEIGHT);
  }

  /** Height of the tallest that stands halfway, 0 where nothing does. */
  #halfway(candidate: number, before: number): number {
    const { all } = this;
    const timeS = (c: number): number => all.timeS[all.at(c)]!;
    const middleS = (timeS(before) + timeS(candidate)) / 2;
    const withinS = NEAR * (timeS(candidate) - timeS(before));
    let tallest = 0;
    for (let c = candidate - 1; c > before && timeS(c) > middleS - withinS; c--)
      if (timeS(c) < middleS + withinS && all.sign[all.at(c)] === 1)
        tallest = Math.max(tallest, all.peak[all.at(c)]!);
    return tallest;
  }
}
