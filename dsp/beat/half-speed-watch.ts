/** Watches whether a beat followed among noise is every other strike of one twice as fast: then something about as tall
 * keeps standing halfway. Accepted strikes in, yes or no out. Allocates nothing. */
import type { Candidates } from '../impulses/candidates';

/** It stands so near the middle, in intervals, and is so tall by the usual strike: noise seldom is, other leads are lower. */
const NEAR = 0.01;
const LEAST_SHARE = 0.7;
/** The newest interval's part in the share of intervals that have one, and how much that share says. */
const GAIN = 0.12;
const MOST_SHARE = 0.7;

export class HalfSpeedWatch {
  #share = 0;

  constructor(private readonly all: Candidates) {}

  startAnew(): void {
    this.#share = 0;
  }

  /** @param candidate of `all`, a strike @param before the one before it, one interval earlier @param level usual height
   * @returns whether there are as many strikes again halfway */
  take(candidate: number, before: number, level: number): boolean {
    this.#share += GAIN * ((this.#hasHalfway(candidate, before, level) ? 1 : 0) - this.#share);
    return this.#share > MOST_SHARE;
  }

  #hasHalfway(candidate: number, before: number, level: number): boolean {
    const { all } = this;
    const timeS = (c: number): number => all.timeS[all.at(c)]!;
    const middleS = (timeS(before) + timeS(candidate)) / 2;
    const withinS = NEAR * (timeS(candidate) - timeS(before));
    for (let c = candidate - 1; c > before && timeS(c) > middleS - withinS; c--)
      if (
        timeS(c) < middleS + withinS &&
        all.sign[all.at(c)] === 1 &&
        all.peak[all.at(c)]! > LEAST_SHARE * level
      )
        return true;
    return false;
  }
}
