/** How far the crank turned, by the strikes of a lead alone: their times in, turns at any time between two of them out, good
 * to a fraction of a turn. Which strikes are missing between two is told by how evenly the speed changes. Knows strikes;
 * nothing of a sensor. */

/** So many strikes are kept: enough for pulses that are asked for late. */
const KEPT = 256;
/** Firing intervals between two strikes at most; more are a break, over which nothing is counted. */
const MOST_INTERVALS = 8;
/** From one interval to the next the speed changes by this factor, as a logarithm: its standard deviation. A free rev from
 * 900 rpm makes twice as much in two turns. */
const CHANGE = 0.2;
/** What it costs that strikes are missing, one or several, as a logarithm of odds: one in twelve. */
const MISSING = 2.5;
/** And that a time between two strikes is no whole number of intervals: sound was lost in it, or one of them is none. */
const CUT = 4;
/** A number that costs less than the next best by less than this is not told. */
const SURE = 1;
/** A first interval that changes the speed by less than this, as a logarithm, is one whatever comes after it: by that the cut
 * stays behind by SURE, and so do two intervals.
 * @source Worked out by hand: 2 x² + 1.13 x <= 2 CHANGE² (CUT - SURE), 1.13 twice where the next interval's cost reaches CUT */
const STEADY = 0.16;
/** Of so many in a row something is missing at most: otherwise the speed is taken anew. */
const MOST_IN_ROW = 3;

interface Struck {
  readonly timeS: number;
  /** Firing intervals since the first strike of its run. */
  readonly intervals: number;
  readonly run: number;
}

export class StrikeTurns {
  #struck: Struck[] = [];
  /** Strikes whose place is open yet: the last two at most. */
  #openS: number[] = [];
  /** Intervals a second before the first of those. */
  #rateHz: number | null = null;
  #missingInRow = 0;

  /** @param perTurn firing intervals a turn */
  constructor(private readonly perTurn: number) {}

  /** Until then turns are known: strikes that come later tell nothing new of it. */
  get knownUntilS(): number {
    return this.#struck.at(-1)?.timeS ?? -Infinity;
  }

  /** @param timeS later than the one before */
  add(timeS: number): void {
    this.#openS.push(timeS);
    const last = this.#struck.at(-1);
    if (!last) this.#note(this.#openS.shift()!, 0, 0);
    else if (this.#openS.length === 2) this.#decide(last);
    this.#decideSteady();
  }

  /** @returns turns from one time to another; null where no strikes stand about both, or there is a break between them */
  between(fromS: number, untilS: number): number | null {
    const [from, until] = [this.#after(fromS), this.#after(untilS)];
    if (from === null || until === null) return null;
    if (this.#struck[from - 1]!.run !== this.#struck[until]!.run) return null;
    return (this.#at(until, untilS) - this.#at(from, fromS)) / this.perTurn;
  }

  /** Where the speed hardly changes the open strike need not wait for the next one. */
  #decideSteady(): void {
    const last = this.#struck.at(-1);
    if (!last || this.#rateHz === null || this.#openS.length !== 1) return;
    const rateHz = 1 / (this.#openS[0]! - last.timeS);
    if (Math.abs(Math.log(rateHz / this.#rateHz)) > STEADY) return;
    this.#note(this.#openS.shift()!, last.intervals + 1, last.run);
    this.#rateHz = rateHz;
    this.#missingInRow = 0;
  }

  /** How many intervals the first of the open strikes stands from the last that is known.
   * @source Least squares of the changes of speed, as logarithms, about it */
  #decide(last: Struck): void {
    const [timeS, laterS] = [this.#openS.shift()!, this.#openS[0]!];
    const [one, next] = [timeS - last.timeS, laterS - timeS];
    let [best, least, second] = [0, CUT + costOfNext(this.#rateHz, next), Infinity];
    for (let m = 1; m <= MOST_INTERVALS; m++) {
      const cost = change(this.#rateHz, m / one) + missing(m) + costOfNext(m / one, next);
      if (cost < least) [best, least, second] = [m, cost, least];
      else second = Math.min(second, cost);
    }
    this.#missingInRow = best > 1 ? this.#missingInRow + 1 : 0;
    const isLost = this.#missingInRow > MOST_IN_ROW;
    if (best === 0 || isLost || second - least < SURE) this.#note(timeS, 0, last.run + 1);
    else this.#note(timeS, last.intervals + best, last.run);
    if (isLost) this.#rateHz = null;
    else if (best > 0) this.#rateHz = best / one;
    if (isLost) this.#missingInRow = 0;
  }

  #note(timeS: number, intervals: number, run: number): void {
    this.#struck.push({ timeS, intervals, run });
    if (this.#struck.length > 2 * KEPT) this.#struck = this.#struck.slice(-KEPT);
  }

  /** The first strike after a time, with one before it. */
  #after(timeS: number): number | null {
    let after = this.#struck.length;
    while (after > 0 && this.#struck[after - 1]!.timeS > timeS) after--;
    return after === 0 || after === this.#struck.length ? null : after;
  }

  /** Intervals at a time before a strike.
   * @source Hermite's cubic, its slopes by the parabola through three strikes */
  #at(after: number, timeS: number): number {
    const [one, other] = [this.#struck[after - 1]!, this.#struck[after]!];
    const spanS = other.timeS - one.timeS;
    const passed = (timeS - one.timeS) / spanS;
    const mean = this.#speed(after)!;
    const first = meeting(this.#speed(after - 1), mean, spanS, this.#span(after - 1));
    const last = meeting(this.#speed(after + 1), mean, spanS, this.#span(after + 1));
    const bend = passed * (1 - passed) * ((first - mean) * (1 - passed) - (last - mean) * passed);
    return one.intervals + spanS * (mean * passed + bend);
  }

  #span(after: number): number {
    return (this.#struck[after]?.timeS ?? 0) - (this.#struck[after - 1]?.timeS ?? 0);
  }

  /** Intervals a second up to a strike; null where a run begins or ends. */
  #speed(after: number): number | null {
    const [one, other] = [this.#struck[after - 1], this.#struck[after]];
    if (!one || !other || one.run !== other.run) return null;
    return (other.intervals - one.intervals) / (other.timeS - one.timeS);
  }
}

const change = (fromHz: number | null, toHz: number): number =>
  fromHz === null ? 0 : Math.log(toHz / fromHz) ** 2 / (2 * CHANGE ** 2);
const missing = (intervals: number): number => (intervals > 1 ? MISSING : 0);

/** What a time between two strikes costs after a speed, whatever it is. */
function costOfNext(rateHz: number | null, betweenS: number): number {
  let least = CUT;
  for (let n = 1; n <= MOST_INTERVALS; n++)
    least = Math.min(least, change(rateHz, n / betweenS) + missing(n));
  return least;
}

/** The speed where two spans meet; that of the one where there is no other. It never bends a span back. */
function meeting(beside: number | null, mean: number, spanS: number, besideS: number): number {
  if (beside === null) return mean;
  return Math.min(3 * mean, (beside * spanS + mean * besideS) / (spanS + besideS));
}
