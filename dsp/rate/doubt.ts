/** How far off a rate may be that the strikes so far do not carry yet: how each strike came by its place in, a variance
 * that covers what else may be out. Plain sums; allocates nothing.
 *
 * A strike off its place tells of sound lost, or of a rate that rises or falls since a moment not known; two in a row of
 * either, twice, or of a ramp. The likelier of them is said; the deviation covers the other until a third strike tells. */
import { STEEPEST } from './ramp';

/** A strike comes off its place that comes so many deviations off, and so many intervals. */
const OFF_DEVIATIONS = 5;
const OFF_INTERVALS = 4e-3;
/** An even change that began at some moment since the strike before, each as likely, but no steeper than can be: what it
 * changed the rate by, root of the mean square. Said is this share of it, as a deviation: the strike may be off by sound lost. */
const FIRST_SHARE = 0.7;
/** Then, of how far the rate has gone from the one of before. */
const SECOND_SHARE = 0.25;
/** Strikes of twice the interval, so many in a row or straight after one off its place: some missing, or an engine that
 * turns half as fast. Fewer are told apart by how likely they are missing. */
const TWICE_SHARE = 0.15;
const TWICES = 3;
/** Something as tall as a strike was set aside before a strike off its place, or before the one after it: it may have been
 * a strike, of an engine that goes twice as fast and more. */
const ASIDE_SHARE = 0.3;
/** A beat is found by intervals of which the first may be of an engine just started: taken for several, or as far off its
 * place as this, in intervals, it leaves the rate open until so many in a row come one by one. */
const STARTED_SHARE = 0.3;
const STARTED_OFF = 0.1;
const STARTED_FOR = 2;

/** The first intervals of a beat may be alike by chance, in an engine whose cycles differ: deviation at the second strike, as
 * a share of the rate, and at so many strikes; it halves with each. */
const ALIKE_SHARE = 0.008;
const ALIKE_STRIKES = 5;

export class RateDoubt {
  /** Strikes since the first that came off its place, that one counted; 0: none lately. */
  #since = 0;
  #calmHz = 0;
  #firstHz = 0;
  /** Strikes in a row at even numbers of intervals; the last one came off its place. */
  #evens = 0;
  #wasOff = false;
  #isOff = false;
  #aside = false;
  /** Strikes in a row that came one by one, until there are enough once; whether any before came otherwise. */
  #oneByOne = 0;
  #isStarted = false;
  #strikes = 0;

  /** @param longestS interval at the lowest rate that can be */
  constructor(private readonly longestS: number) {}

  reset(): void {
    this.#firstHz = this.#strikes = 0;
    this.#since = this.#evens = this.#oneByOne = 0;
    this.#isOff = this.#aside = this.#isStarted = false;
  }

  /** A strike. @param calmHz the rate before it @param off how far it came off its place @param sd deviation of that, both
   * in intervals @param steps intervals before it @param dtS seconds @param aside something tall was set aside before it */
  note(calmHz: number, off: number, sd: number, steps: number, dtS: number, aside: boolean): void {
    this.#strikes++;
    this.#evens = steps % 2 === 0 ? this.#evens + 1 : 0;
    this.#wasOff = this.#isOff;
    this.#isOff = Math.abs(off) > Math.max(OFF_INTERVALS, OFF_DEVIATIONS * sd);
    this.#aside = aside;
    if (this.#oneByOne < STARTED_FOR) this.#noteStart(steps > 1 || Math.abs(off) > STARTED_OFF);
    if (this.#since === 1 && !fits(this.#calmHz * dtS)) {
      this.#since = 2;
      return;
    }
    this.#since = this.#isOff ? 1 : 0;
    this.#firstHz = Math.abs(off) > OFF_DEVIATIONS * sd ? this.#changedHz(Math.abs(off), dtS) : 0;
    if (this.#isOff) this.#calmHz = calmHz;
  }

  /** Off by d = s τ²/2, with s the change and τ since it began, the rate changed by 2 d/τ. Its square, on average over τ from
   * that of the steepest change to the whole interval, is 4 d²/(τ t).
   * @source worked out by hand */
  #changedHz(off: number, dtS: number): number {
    const sinceS = Math.min(dtS, Math.sqrt((2 * off * this.longestS) / STEEPEST));
    return (2 * off) / Math.sqrt(sinceS * dtS);
  }

  #noteStart(isOpen: boolean): void {
    this.#oneByOne = isOpen ? 0 : this.#oneByOne + 1;
    this.#isStarted = isOpen || (this.#isStarted && this.#oneByOne < STARTED_FOR);
  }

  /** What a rate's variance is more, at the last strike. */
  moreVar(rateHz: number): number {
    let variance = this.asideShare ** 2 * rateHz * rateHz;
    if (this.#strikes <= ALIKE_STRIKES) variance += (ALIKE_SHARE * 2 ** (1 - this.#strikes) * rateHz) ** 2;
    if (this.#evens >= (this.#wasOff ? 1 : TWICES)) variance += (TWICE_SHARE * rateHz) ** 2;
    if (this.#since < 2) variance += (FIRST_SHARE * this.#firstHz) ** 2;
    if (this.#since === 2) variance += (SECOND_SHARE * (rateHz - this.#calmHz)) ** 2;
    return variance;
  }

  /** Deviation, as a share of the rate, that what comes after does not take away. */
  get asideShare(): number {
    if (this.#isStarted) return STARTED_SHARE;
    return this.#aside && (this.#isOff || this.#wasOff) ? ASIDE_SHARE : 0;
  }
}

/** A whole number of intervals: sound was lost before, and the rate is as it was. */
const fits = (advance: number): boolean => Math.abs(advance - Math.round(advance)) < OFF_INTERVALS;
