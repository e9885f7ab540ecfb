/** The rate that is said, of what several hypotheses make of the strikes: theirs in, one rate with its variance out. Keeps
 * what was said last, since a doubt is told by it. Allocates nothing. */
import {
  CHANGED,
  HALVED,
  LONGEST_SLIP_S,
  ON_TIME,
  SLIPPED,
  STRAY,
  type Hypothesis,
  type Way,
} from './hypothesis';

/** A slip less likely than this is none: straight after another, and where the rate was restless before. */
const DOUBTFUL = 0.04;
const DOUBTFUL_AFTER_SLIP = 0.5;
const DOUBTFUL_WHEN_RESTLESS = 0.6;
/** Restless: so much standard deviation before the strike, as a share of the rate. */
const RESTLESS = 0.04;
/** A rate with so much standard deviation is not taken over the earlier one. */
const UNKNOWN = 0.4;
/** One with no more is known; and so far past a place, in intervals, a strike is still at it. */
const KNOWN = 0.1;
const NEARLY = 0.1;
/** While it is doubtful, the rate goes so far at the most from the earlier towards the one that may be new. */
const TOWARDS = 0.045;
/** A change may be even over an interval whose strike comes so far off its place, in intervals. */
const EVENLY_OFF = 0.15;
/** But not where it is so much less likely than the best, natural logarithm: one in a thousand. */
const UNLIKELY = 7;
/** One goes half as fast as another within this, and is believed where it is so much more likely, natural logarithm. */
const HALF_WITHIN = 0.02;
const HALF_LEAD = 3;

/** Whether one goes half as fast as another. */
export const isHalf = (rateHz: number, otherHz: number): boolean =>
  Math.abs((2 * rateHz) / otherHz - 1) < HALF_WITHIN;

export class ToldRate {
  #way: Way = ON_TIME;
  /** null before anything was said. */
  rateHz: number | null = null;
  rateVar = 0;
  #knownHz = 0;

  reset(): void {
    this.rateHz = null;
  }

  /** What is sure is said as it is. */
  sure(rateHz: number, rateVar: number): void {
    this.#way = ON_TIME;
    this.rateHz = rateHz;
    this.rateVar = rateVar;
    if (rateVar < (KNOWN * rateHz) ** 2) this.#knownHz = rateHz;
  }

  /** The rate by the likeliest hypothesis; where that may be a slip, or another speed at once, by the earlier rate.
   * @param live the first `count` count, in order of likelihood @param dtS since the strike before */
  tell(live: readonly Hypothesis[], count: number, dtS: number): void {
    let total = 0;
    for (let h = 0; h < count; h++) total += Math.exp(live[h]!.logP);
    if (this.rateHz === null) this.#knownHz = live[0]!.bank.rateHz;
    const onTime = likeliestOnTime(live, count);
    const slip = this.#likelySlip(live, count, total);
    const said = slip >= 0 ? slip : notHalf(live, count, Math.max(0, onTime));
    const { way, earlierHz, bank } = live[said]!;
    this.#way = way;
    let rateHz = way === CHANGED || way === HALVED ? earlierHz : bank.rateHz;
    if (way !== ON_TIME && onTime >= 0 && live[onTime]!.logP > -UNLIKELY) {
      const other = evenlyChanged(live[onTime]!, dtS);
      rateHz *= Math.max(1 - TOWARDS, Math.min(1 + TOWARDS, other / rateHz));
    }
    const spread = spreadAbout(rateHz, live, count, total);
    const unknown = spread > (UNKNOWN * rateHz) ** 2 && this.rateHz !== null;
    this.rateHz = unknown ? this.#lastKnown(live, count, dtS) : rateHz;
    this.rateVar = unknown ? spreadAbout(this.rateHz, live, count, total) : spread;
    if (this.rateVar < (KNOWN * this.rateHz) ** 2) this.#knownHz = this.rateHz;
  }

  /** The rate known last, as long as sound lost may have brought the strike where it came; then by the likeliest hypothesis
   * that knows one. */
  #lastKnown(live: readonly Hypothesis[], count: number, dtS: number): number {
    const intervals = this.#knownHz * dtS;
    const beforeS = (Math.ceil(intervals - NEARLY) - intervals) / this.#knownHz;
    if (beforeS > LONGEST_SLIP_S)
      for (let h = 0; h < count; h++) {
        const { rateHz, rateVar } = live[h]!.bank;
        if (rateVar < (UNKNOWN * rateHz) ** 2) return rateHz;
      }
    return this.#knownHz;
  }

  /** @returns the likeliest slip that is likely enough; -1: none */
  #likelySlip(live: readonly Hypothesis[], count: number, total: number): number {
    const restless = this.rateHz !== null && this.rateVar > (RESTLESS * this.rateHz) ** 2;
    const least = this.#way === SLIPPED ? DOUBTFUL_AFTER_SLIP : restless ? DOUBTFUL_WHEN_RESTLESS : DOUBTFUL;
    for (let h = 0; h < count; h++)
      if (live[h]!.way === SLIPPED && Math.exp(live[h]!.logP) > total * least) return h;
    return -1;
  }
}

/** By which nothing happened: a stray strike is no happening of the engine's. */
function likeliestOnTime(live: readonly Hypothesis[], count: number): number {
  for (let h = 0; h < count; h++) if (live[h]!.way === ON_TIME || live[h]!.way === STRAY) return h;
  return -1;
}

/** The rate at a strike that a hypothesis takes to be on time: as far from the one before as by a change that is even over
 * the whole interval, where its models do not go as far. What is further off its place tells of no such change.
 * @param dtS since the strike before */
function evenlyChanged({ bank, earlierHz }: Hypothesis, dtS: number): number {
  const steps = Math.max(1, Math.round(bank.advance));
  if (Math.abs(steps - earlierHz * dtS) > EVENLY_OFF) return bank.rateHz;
  const evenlyHz = (2 * steps) / dtS - earlierHz;
  return Math.abs(evenlyHz - earlierHz) > Math.abs(bank.rateHz - earlierHz) ? evenlyHz : bank.rateHz;
}

/** Where the likeliest goes half as fast as another that is nearly as likely, misses may be all there is to it. */
function notHalf(live: readonly Hypothesis[], count: number, likeliest: number): number {
  const { bank, logP } = live[likeliest]!;
  for (let h = 0; h < count; h++) {
    const other = live[h]!;
    if (other.way === ON_TIME && other.logP > logP - HALF_LEAD && isHalf(bank.rateHz, other.bank.rateHz))
      return h;
  }
  return likeliest;
}

function spreadAbout(rateHz: number, live: readonly Hypothesis[], count: number, total: number): number {
  let variance = 0;
  for (let h = 0; h < count; h++) {
    const { bank, logP } = live[h]!;
    variance += (Math.exp(logP) / total) * (bank.rateVar + (bank.rateHz - rateHz) ** 2);
  }
  return variance;
}
