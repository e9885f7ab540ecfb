/** The rate at each strike by what came before and after it: strikes in as they are accepted, each told once some later
 * ones are known. Two banks of models meet at each strike, one from the past, one from the future. Waits for a bounded
 * number of strikes; allocates nothing for each.
 * @source Fraser & Potter, IEEE Trans. Automatic Control 14 (1969) 387-390: the optimum linear smoother as a
 * combination of two filters (memory) */
import { advancingVar } from './advancing';
import { meet, speedBy, WRONG_SIDE_CHANCE, type Between, type RateEstimate } from './meet';
import { CHANGE_SD, CHANGED, HALVED, ON_TIME, SLIPPED, slippedOf, STRAY } from './hypothesis';
import type { RateFilter } from './rate';
import { RateBank } from './rate-bank';
import { MOMENTS, STATES } from './rate-moments';
import type { SmoothedRate } from '../strike-chain';

/** Strikes that wait at the most, and the share of them that is told at a time. */
const WAITING = 24;
/** An engine is as restless as can be at so many times its lowest rate. */
const RESTLESS_BELOW = 4.5;
const START_SD = 0.07;
/** Sparks come so much early or late, in intervals. */
const SCATTER = 2e-4;
/** A strike is foretold where its place is known so well, intervals. */
const FORETOLD = 0.01;
/** A strike after lost sound is not foretold by what was before: as far off as can be, intervals. */
const NOT_FORETOLD = 1;
/** Where time turns round, as a cycle ends is as it begins; and what changes its sign: the change of the rate, what it has
 * in common with all but the place, what the place has in common with all but the change. */
const SWAPPED = [
  [3, 4],
  [8, 9],
  [12, 13],
  [15, 16],
  [17, 19],
] as const;
const REVERSED = [2, 6, 8, 9, 11, 15, 16] as const;
/** Far off its place is a strike that comes so many intervals off and so many deviations. */
const FAR_OFF = 0.1;
const FAR_OFF_DEVIATIONS = 5;
/** Variance of a place in the beat of which nothing is known. */
const UNKNOWN_PLACE = 1;

export class RateSmoother {
  readonly #past: RateBank;
  readonly #future: RateBank;
  readonly #placedS = new Float64Array(WAITING);
  readonly #timeS = new Float64Array(WAITING);
  readonly #timeVar = new Float64Array(WAITING);
  readonly #before = Array.from({ length: WAITING }, () => new Float64Array(MOMENTS));
  readonly #after = Array.from({ length: WAITING }, () => new Float64Array(MOMENTS));
  readonly #asideShare = new Float64Array(WAITING);
  /** How far off the place foretold each strike came; variance of the place foretold. */
  readonly #pastOff = new Float64Array(WAITING);
  readonly #pastOffVar = new Float64Array(WAITING);
  readonly #futureOff = new Float64Array(WAITING);
  readonly #futureOffVar = new Float64Array(WAITING);
  /** The speed by the future alone. */
  readonly #futureHz = new Float64Array(WAITING);
  readonly #futureVar = new Float64Array(WAITING);
  /** Mean rate of the interval before each. */
  readonly #meanHz = new Float64Array(WAITING);
  readonly #between: Between = {
    pastOff: 0,
    pastOffVar: 0,
    futureOff: 0,
    futureOffVar: 0,
    futureHz: 0,
    futureVar: 0,
    beforeHz: 0,
    afterHz: 0,
  };
  /** Whether the future says anything at a strike; where it does not, the rate that it begins with. */
  readonly #joined = new Uint8Array(WAITING);
  readonly #nextHz = new Float64Array(WAITING);
  readonly #smoothed: SmoothedRate = { timeS: 0, rateHz: 0, rateSdHz: 0 };
  /** Of those that wait, the strikes, and how many they are. */
  readonly #at = new Int32Array(WAITING + 1);
  #counted = 0;
  #count = 0;
  /** The oldest that waits is the first of its beat; then its rate is not told. */
  #begins = true;
  #lastPlacedS = 0;
  #aboutS = 0;

  /** @param longestS interval at the lowest rate that can be @param lagS no strike waits much longer than this, seconds
   * @param onSmoothed told of each strike but the first of a beat; the object is used again */
  constructor(
    longestS: number,
    private readonly filter: RateFilter,
    private readonly lagS: number,
    private readonly onSmoothed: (smoothed: Readonly<SmoothedRate>) => void,
  ) {
    this.#past = new RateBank(longestS / RESTLESS_BELOW);
    this.#future = new RateBank(longestS / RESTLESS_BELOW);
  }

  /** A new beat. @param aboutS what the interval is about */
  reset(aboutS: number): void {
    this.flush();
    this.#smoothed.timeS = -Infinity;
    this.#aboutS = aboutS;
    this.#begins = true;
  }

  /** A strike that the filter has just taken. @param placedS when it would have come if firing were even */
  take(timeS: number, placedS: number, timeVar: number): void {
    const at = this.#count++;
    this.#timeS[at] = timeS;
    this.#placedS[at] = placedS;
    this.#timeVar[at] = timeVar;
    this.#asideShare[at] = this.filter.asideShare;
    const waitedS = timeS - this.#timeS[0]!;
    if (this.#count === WAITING || (waitedS > this.lagS && this.#count > 2)) this.#tell(this.#count >> 1);
  }

  /** Tells all that wait. */
  flush(): void {
    if (this.#count > 0) this.#tell(this.#count);
  }

  #tell(most: number): void {
    const count = this.#countStrikes(most);
    this.#comeBack(count);
    this.#goOn(count);
    const last = this.#count - 1;
    const halvedFrom = this.#halvedFrom(last);
    for (let k = 0, c = 0; k < count; k++) {
      const isStray = this.#at[c] !== k;
      if (k === 0 && this.#begins && !isStray) c++;
      else if (isStray) this.#tellStray(k, c, count);
      else this.#tellStrike(k, c++, last, k >= halvedFrom);
    }
    this.#begins = false;
    this.#forget(count);
  }

  /** Which of those that wait are strikes; the filter knows it of most. @param most that may be told
   * @returns how many are told: a stray is told with the strike after it */
  #countStrikes(most: number): number {
    this.#counted = 0;
    for (let k = 0; k < this.#count; k++) if (!this.#isStray(k)) this.#at[this.#counted++] = k;
    this.#at[this.#counted] = this.#count;
    let count = most;
    while (count > 1 && count < this.#count && this.#isStray(count - 1)) count--;
    return count;
  }

  #isStray(k: number): boolean {
    return this.filter.wayOf(this.#count - 1 - k) === STRAY;
  }

  /** @param c its number among the strikes that wait */
  #tellStrike(k: number, c: number, last: number, isHalved: boolean): void {
    const smoothed = this.#smoothed;
    const rate = this.#meetAt(k, c, last);
    const mayBe =
      this.#joined[k] || k === last ? 0 : WRONG_SIDE_CHANCE * (this.#nextHz[k]! - rate.rateHz) ** 2;
    const share = this.#asideShare[k]! + (isHalved ? this.#lastShare : 0);
    const advancing = this.#advancingTo(this.#timeS[k]!, rate.rateHz);
    smoothed.timeS = this.#timeS[k]!;
    smoothed.rateHz = rate.rateHz;
    smoothed.rateSdHz = Math.sqrt(rate.rateVar + mayBe + (share * rate.rateHz) ** 2 + advancing);
    if (k === last) this.#asCausal(smoothed);
    this.onSmoothed(smoothed);
  }

  /** By the change since the strike told last of the same beat; none at the first that is told. */
  #advancingTo(timeS: number, rateHz: number): number {
    const { timeS: lastS, rateHz: lastHz } = this.#smoothed;
    return this.filter.advances ? advancingVar((rateHz - lastHz) / (timeS - lastS)) : 0;
  }

  #meetAt(k: number, c: number, last: number): RateEstimate {
    return meet(this.#before[k]!, this.#joined[k] ? this.#after[k]! : null, this.#betweenAt(k, c, last));
  }

  /** Between the strike told last and the next, if that is told now: anywhere between. @param c the next's number */
  #tellStray(k: number, c: number, count: number): void {
    const last = this.#count - 1;
    const smoothed = this.#smoothed;
    smoothed.timeS = this.#timeS[k]!;
    const next = this.#at[c]!;
    if (next < count) {
      const { rateHz, rateVar } = this.#meetAt(next, c, last);
      const variance = Math.max(rateVar, smoothed.rateSdHz ** 2) + (rateHz - smoothed.rateHz) ** 2 / 12;
      smoothed.rateHz = (rateHz + smoothed.rateHz) / 2;
      smoothed.rateSdHz = Math.sqrt(variance);
    }
    if (k === last) this.#asCausal(smoothed);
    this.onSmoothed(smoothed);
  }

  #forget(count: number): void {
    for (let c = 0; c < this.#counted && this.#at[c]! < count; c++)
      this.#lastPlacedS = this.#placedS[this.#at[c]!]!;
    this.#timeS.copyWithin(0, count, this.#count);
    this.#placedS.copyWithin(0, count, this.#count);
    this.#timeVar.copyWithin(0, count, this.#count);
    this.#asideShare.copyWithin(0, count, this.#count);
    this.#count -= count;
  }

  #betweenAt(k: number, c: number, last: number): Between {
    const between = this.#between;
    between.pastOff = this.#pastOff[k]!;
    between.pastOffVar = this.#pastOffVar[k]!;
    between.futureOff = this.#futureOff[k]!;
    between.futureOffVar = this.#futureOffVar[k]!;
    between.futureHz = this.#futureHz[k]!;
    between.futureVar = this.#futureVar[k]!;
    between.beforeHz = this.#meanHz[k]!;
    between.afterHz = c < this.#counted - 1 ? this.#meanHzAfter(k, this.#at[c + 1]!, last) : 0;
    return between;
  }

  /** Mean rate of the interval from a strike to the next; 0 where sound was lost in it. */
  #meanHzAfter(k: number, next: number, last: number): number {
    const back = last - next;
    if (this.filter.wayOf(back) === SLIPPED) return 0;
    return this.filter.stepsOf(back) / (this.#placedS[next]! - this.#placedS[k]!);
  }

  /** Strikes that are read as of an engine half as fast, up to the last one, are as doubtful as that. @returns the first */
  #halvedFrom(last: number): number {
    let from = last + 1;
    while (from > 0 && this.filter.wayOf(last + 1 - from) === HALVED) from--;
    return from;
  }

  /** Deviation of what the filter says of the last strike, as a share of it. */
  get #lastShare(): number {
    const { rateHz, rateSdHz } = this.filter;
    return rateHz === null || rateSdHz === null ? 0 : rateSdHz / rateHz;
  }

  /** Nothing comes after the last strike: what the filter says of it is all that is known. */
  #asCausal(smoothed: SmoothedRate): void {
    const { rateHz, rateSdHz } = this.filter;
    if (rateHz === null || rateSdHz === null) return;
    smoothed.rateHz = rateHz;
    smoothed.rateSdHz = rateSdHz;
  }

  /** From the last strike known back to the first that waits, by time turned round. */
  #comeBack(count: number): void {
    const newest = this.#count - 1;
    const bank = this.#future;
    const last = this.#at[this.#counted - 1] ?? newest;
    this.#joined[last] = 0;
    this.#startAnew(bank, this.filter.rateHz ?? 1 / this.#aboutS, last);
    // of how the engine runs more is known than a few strikes tell: two intervals may be alike by chance on a rough one
    bank.runLike(this.filter.bank);
    for (let c = this.#counted - 2; c >= 0; c--) {
      const [k, next] = [this.#at[c]!, this.#at[c + 1]!];
      const way = this.filter.wayOf(newest - next);
      const steps = this.filter.stepsOf(newest - next);
      this.#nextHz[k] = bank.rateHz;
      const dtS = this.#placedS[next]! - this.#placedS[k]!;
      bank.predict(dtS);
      const after = this.#after[k]!;
      const slipped = way === SLIPPED;
      this.#futureOff[k] = slipped ? NOT_FORETOLD : steps - bank.advance;
      this.#futureOffVar[k] = slipped ? NOT_FORETOLD : bank.advanceVar + bank.rateHz ** 2 * this.#timeVar[k]!;
      const sure = way === ON_TIME || slipped;
      if (slipped) bank.anchor(this.#timeVar[k]!, 0, slippedOf(bank.advance, dtS));
      if (k < count || !sure) {
        bank.moments(after, false);
        const alone = speedBy(after);
        this.#futureHz[k] = alone.rateHz;
        this.#futureVar[k] = alone.rateVar;
        bank.moments(after, true);
        turnRound(after, slipped ? null : steps);
      }
      const joined = sure || foretells(after, this.#timeVar[k]!);
      this.#joined[k] = joined || way === CHANGED ? 1 : 0;
      if (!joined) {
        this.#startAnew(bank, this.#nextHz[k]!, k);
        continue;
      }
      if (slipped) continue;
      if (isFarOff(bank, steps)) bank.restart(dtS / steps, bank.rateHz, CHANGE_SD, this.#timeVar[k]!);
      else takeStrike(bank, steps, this.#timeVar[k]!);
    }
  }

  /** Nothing is known of the rate yet. */
  #startAnew(bank: RateBank, rateHz: number, k: number): void {
    bank.start(rateHz, (0.5 * rateHz) ** 2, this.#timeVar[k]!);
  }

  /** On through the strikes that are told now. */
  #goOn(count: number): void {
    const bank = this.#past;
    const last = this.#count - 1;
    for (let c = 0; c < this.#counted && this.#at[c]! < count; c++) {
      const k = this.#at[c]!;
      const way = this.filter.wayOf(last - k);
      const steps = this.filter.stepsOf(last - k);
      const dtS = this.#placedS[k]! - (c === 0 ? this.#lastPlacedS : this.#placedS[this.#at[c - 1]!]!);
      if (k === 0 && this.#begins) {
        bank.start(1 / this.#aboutS, (START_SD / this.#aboutS) ** 2, this.#timeVar[k]!);
        bank.runLike(this.filter.bank);
      } else {
        const beforeHz = bank.rateHz;
        bank.predict(dtS);
        this.#meanHz[k] = way === SLIPPED ? 0 : steps / dtS;
        this.#pastOff[k] = way === SLIPPED ? NOT_FORETOLD : steps - bank.advance;
        this.#pastOffVar[k] =
          way === SLIPPED ? NOT_FORETOLD : bank.advanceVar + bank.rateHz ** 2 * this.#timeVar[k]!;
        if (way === SLIPPED) bank.anchor(this.#timeVar[k]!, 0, slippedOf(bank.advance, dtS));
        else if (way === ON_TIME && !isFarOff(bank, steps)) takeStrike(bank, steps, this.#timeVar[k]!);
        else bank.restart(dtS / steps, beforeHz, CHANGE_SD, this.#timeVar[k]!);
      }
      bank.moments(this.#before[k]!, false);
    }
  }
}

/** Whether a strike comes where no way of running has it: another speed, at once. */
const isFarOff = (bank: RateBank, steps: number): boolean =>
  Math.abs(steps - bank.advance) > Math.max(FAR_OFF, FAR_OFF_DEVIATIONS * Math.sqrt(bank.advanceVar));

function takeStrike(bank: RateBank, steps: number, timeVar: number): void {
  bank.compare(steps, timeVar);
  bank.update(steps, timeVar);
}

/** Whether a strike taken for a change of the rate comes where what follows has it: then the change was before it. */
function foretells(after: Float64Array, timeVar: number): boolean {
  const variance = after[STATES]! + after[1]! ** 2 * timeVar + SCATTER * SCATTER;
  return variance < FORETOLD * FORETOLD && after[0]! ** 2 < 9 * variance;
}

/** What a bank says whose time ran backwards, as one whose time runs on says it.
 * @param steps intervals it came back over; null: where it stands in the beat is not known */
function turnRound(moments: Float64Array, steps: number | null): void {
  for (const [one, other] of SWAPPED) {
    const kept = moments[one]!;
    moments[one] = moments[other]!;
    moments[other] = kept;
  }
  moments[0] = steps === null ? 0 : steps - moments[0]!;
  for (const at of REVERSED) moments[at] = -moments[at]!;
  if (steps !== null) return;
  moments[STATES] = UNKNOWN_PLACE;
  for (let at = STATES + 1; at < 2 * STATES; at++) moments[at] = 0;
}
