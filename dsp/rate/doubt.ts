/** How far off a rate may be that the strikes so far do not carry yet: how each strike came by its place in, a variance
 * that covers what else may be out. Plain sums; allocates nothing.
 *
 * A strike off its place tells of sound lost, or of a rate that rises or falls since a moment not known; two in a row of
 * either, twice, or of a ramp. The likelier of them is said; the deviation covers the other until a third strike tells. */

/** A strike comes off its place that comes so many deviations off, and so many intervals. */
const OFF_DEVIATIONS = 5;
const OFF_INTERVALS = 4e-3;
/** An even change since the strike before would have changed the rate by twice what the strike is off for each interval;
 * said is this share of it, as a deviation: it may have begun later, or not at all. */
const FIRST_SHARE = 0.3;
/** Then, of how far the rate has gone from the one of before. */
const SECOND_SHARE = 0.25;
/** Strikes of twice the interval, two in a row or more: some missing, or an engine that turns half as fast. */
const TWICE_SHARE = 0.15;

export class RateDoubt {
  /** Strikes since the first that came off its place, that one counted; 0: none lately. */
  #since = 0;
  #calmHz = 0;
  #firstHz = 0;
  /** Strikes in a row at even numbers of intervals. */
  #evens = 0;

  reset(): void {
    this.#since = this.#evens = 0;
  }

  /** A strike. @param calmHz the rate before it @param off how far it came off its place @param sd deviation of that, both
   * in intervals @param steps intervals before it @param dtS seconds */
  note(calmHz: number, off: number, sd: number, steps: number, dtS: number): void {
    this.#evens = steps % 2 === 0 ? this.#evens + 1 : 0;
    if (this.#since === 1 && !fits(this.#calmHz * dtS)) {
      this.#since = 2;
      return;
    }
    this.#since = 0;
    if (Math.abs(off) < Math.max(OFF_INTERVALS, OFF_DEVIATIONS * sd)) return;
    this.#since = 1;
    this.#calmHz = calmHz;
    this.#firstHz = (2 * Math.abs(off)) / dtS;
  }

  /** What a rate's variance is more, at the last strike. */
  moreVar(rateHz: number): number {
    const twice = this.#evens >= 2 ? (TWICE_SHARE * rateHz) ** 2 : 0;
    if (this.#since === 1) return twice + (FIRST_SHARE * this.#firstHz) ** 2;
    if (this.#since === 2) return twice + (SECOND_SHARE * (rateHz - this.#calmHz)) ** 2;
    return twice;
  }
}

/** A whole number of intervals: sound was lost before, and the rate is as it was. */
const fits = (advance: number): boolean => Math.abs(advance - Math.round(advance)) < OFF_INTERVALS;
