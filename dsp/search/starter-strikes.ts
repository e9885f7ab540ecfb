/** Strikes before a beat, of a starter's turns or before sound was lost: a beat and the impulses before it in, those that
 * can only be strikes of the same lead out, though no beat joins them. Batch work. */
import type { Beat, BeatLimits } from '../beat/beat-limits';
import type { Candidates } from '../impulses/candidates';
import { isOne, OVER_OTHERS, OWN_S, tallestBetween, usualPeak } from './between-strikes';

/** A strike is no lower than this by the usual one. */
const LEAST_SHARE = 0.33;
/** An engine that catches speeds up by so many times the slowest speed each second, at the most: 150 rpm to 1200 rpm within
 * a quarter of one. */
const MOST_GAIN = 32;
/** Sound may be lost between two strikes: an interval seems shorter, but no more than this. */
const SOONEST = 0.3;
/** A starter may turn it slower than the slowest that is followed. */
const LATEST = 1.1;

/** Goes back from a beat's first strike, from one tall impulse to the next one before it, as long as each looks like a
 * strike, and stands alone, where an engine that speeds up may have had one.
 * @param from oldest candidate to look at @param look what a candidate is by the learnt shape; null: it has another
 * @returns what they are, oldest first */
export function starterStrikes<T>(
  all: Candidates,
  beat: Beat,
  from: number,
  limits: BeatLimits,
  look: (candidate: number) => T | null,
): T[] {
  const walk = new StarterWalk(all, beat, from, limits);
  const strikes: T[] = [];
  for (let c = walk.next(); c !== null; c = walk.next()) {
    const strike = look(c);
    if (strike === null) break;
    strikes.unshift(strike);
  }
  return strikes;
}

class StarterWalk {
  #first: number;
  #periodS: number;
  readonly #least: number;

  constructor(
    private readonly all: Candidates,
    private readonly beat: Beat,
    private readonly from: number,
    private readonly limits: BeatLimits,
  ) {
    const { strikes, steps } = beat;
    this.#first = strikes[0]!;
    this.#periodS = (this.#timeS(strikes[1]!) - this.#timeS(strikes[0]!)) / steps[1]!;
    const level = usualPeak(all, beat);
    this.#least = Math.max(LEAST_SHARE * level, OVER_OTHERS * tallestBetween(all, beat, limits));
  }

  #timeS(candidate: number): number {
    return this.all.timeS[this.all.at(candidate)]!;
  }

  /** The nearest tall one before the first strike so far, if it stands where one may be. */
  next(): number | null {
    const { all } = this;
    const firstS = this.#timeS(this.#first);
    const latestS = firstS - LATEST * this.limits.longestS;
    for (let c = this.#first - 1; c >= this.from && this.#timeS(c) >= latestS; c--) {
      if (all.peak[all.at(c)]! < this.#least || !isOne(all, this.beat, c)) continue;
      const intervalS = firstS - this.#timeS(c);
      if (intervalS < OWN_S) continue;
      if (!this.#mayLast(intervalS)) return null;
      this.#first = c;
      this.#periodS = Math.max(this.#periodS, intervalS);
      return c;
    }
    return null;
  }

  /** Whether an engine may have taken so long for the interval before. */
  #mayLast(intervalS: number): boolean {
    if (intervalS < SOONEST * this.#periodS) return false;
    const gainHz = 1 / this.#periodS - 1 / intervalS;
    const overS = (intervalS + this.#periodS) / 2;
    return gainHz * this.limits.longestS < MOST_GAIN * overS;
  }
}
