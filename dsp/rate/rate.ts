/** The rate of a beat: strike times in, hertz with its standard deviation out, each from the strikes up to it. Where a
 * strike comes off its time, sound may have been lost unseen, or the engine changed its speed: both are followed side by
 * side, the earlier rate is kept, and the next strike tells. Counts what slipped. Allocates nothing.
 * @source Reid, IEEE Trans. Automatic Control 24 (1979) 843-854: hypotheses kept until later data tell (memory) */
import { advancingVar } from './advancing';
import { RateDoubt } from './doubt';
import {
  HALVED,
  isOfFew,
  makeHypothesis,
  ON_TIME,
  READ_BACK,
  readOn,
  SLIPPED,
  STRAY,
  WAYS,
  type Hypothesis,
  type Seen,
  type Way,
} from './hypothesis';
import { RampWatch } from './ramp';
import type { RateBank } from './rate-bank';
import { isHalf, ToldRate } from './told-rate';
import { intervalsOf, MissShare, weighWays } from './ways';

/** Hypotheses kept, and how much less likely one may be than the best, natural logarithm. */
const MOST = 4;
const HOPELESS = 12;
/** So many strikes after a doubt began the best is believed. */
const DOUBT_STRIKES = 4;
/** A ramp that two strikes tell of is taken where the rate is less well known than this share of it, and doubted by this
 * share of what it rose since the strike before: it is not quite even. */
const UNSURE = 0.02;
const RAMP_DOUBT = 0.15;
/** The search that found the beat knows its interval so well. */
const START_SD = 0.07;

export class RateFilter {
  #live: Hypothesis[];
  #next: Hypothesis[];
  #count = 0;
  /** What each live hypothesis may become. */
  readonly #score = new Float64Array(WAYS * MOST);
  readonly #intervals = new Float64Array(MOST);
  readonly #seen: Seen = { number: 0, intervals: 0, dtS: 0, timeVar: 0 };
  #strikes = 0;
  #doubtFor = 0;
  #lastS = 0;
  #lastDtS = 0;
  #aboutS = 0;
  readonly #ramps: RampWatch;
  readonly #inDoubt: RateDoubt;
  /** The last strike told of a ramp. */
  #ramped = false;
  #cutSteps = 0;
  /** Of the place foretold for the last strike, intervals squared. */
  #placeVar = 0;
  readonly #misses = new MissShare();
  readonly #told = new ToldRate();
  /** At the last strike; null before two strikes. */
  rateHz: number | null = null;
  rateVar = 0;
  /** Since the start: how often the beat slipped, and by how much at least. */
  slips = 0;
  slippedS = 0;

  /** @param longestS interval at the lowest rate that can be @param advances whether strikes are sparks, whose place in the
   * beat moves with the speed */
  constructor(
    longestS: number,
    readonly advances = false,
  ) {
    this.#ramps = new RampWatch(longestS);
    this.#inDoubt = new RateDoubt(longestS);
    this.#live = Array.from({ length: MOST }, () => makeHypothesis(longestS));
    this.#next = Array.from({ length: MOST }, () => makeHypothesis(longestS));
  }

  /** Forgets the rate. @param aboutS what the interval is about, from the search that found the beat */
  reset(aboutS: number): void {
    this.#strikes = 0;
    this.#aboutS = aboutS;
    this.#ramps.reset();
    this.#inDoubt.reset();
    this.#told.reset();
    this.rateHz = null;
  }

  /** How strike `back` before the last is read by what is known now, and intervals before it. */
  wayOf(back: number): Way {
    return this.#live[0]!.ways[(this.#strikes - 1 - back) & (READ_BACK - 1)] as Way;
  }
  stepsOf(back: number): number {
    return this.#live[0]!.steps[(this.#strikes - 1 - back) & (READ_BACK - 1)]!;
  }

  /** What the likeliest reading knows; to be read only, until the next strike. */
  get bank(): RateBank {
    return this.#live[0]!.bank;
  }

  get periodS(): number | null {
    return this.rateHz === null ? null : 1 / this.rateHz;
  }
  get rateSdHz(): number | null {
    return this.rateHz === null ? null : Math.sqrt(this.rateVar);
  }

  /** Deviation of the last strike's rate, as a share of it, that what comes after does not take away. */
  get asideShare(): number {
    return this.#inDoubt.asideShare;
  }

  /** @param timeS of a strike, after the last @param timeVar of that time @param aside an impulse as tall as a strike stood
   * between and was set aside @param cutSteps intervals that a limiter's cut took, as the beat is
   * followed; 0: it does not cut */
  take(timeS: number, timeVar: number, aside = false, cutSteps = 0): void {
    this.#cutSteps = cutSteps;
    if (this.#strikes === 0) this.#start(timeVar);
    else this.#follow(timeS - this.#lastS, timeVar, aside);
    this.#strikes++;
    this.#lastS = timeS;
  }

  #start(timeVar: number): void {
    const first = this.#live[0]!;
    this.#count = 1;
    first.logP = first.slips = first.slippedS = first.strayS = first.since = 0;
    first.way = ON_TIME;
    first.ways.fill(ON_TIME); // nothing is known of the last beat's strikes, nor says anything of this one's
    first.bank.start(1 / this.#aboutS, (START_SD / this.#aboutS) ** 2, timeVar);
  }

  #follow(dtS: number, timeVar: number, aside: boolean): void {
    const seen = this.#seen;
    seen.number = this.#strikes;
    this.#lastDtS = dtS;
    seen.timeVar = timeVar;
    let best = -Infinity;
    for (let h = 0; h < this.#count; h++) best = Math.max(best, this.#weigh(h));
    this.#choose(best);
    this.#notePlace(dtS, timeVar, aside);
    this.#settle();
    const told = this.#told;
    told.tell(this.#live, this.#count, dtS);
    this.#ramped = false;
    if (told.rateVar > (UNSURE * told.rateHz!) ** 2) this.#takeRamp(dtS, timeVar);
    this.#ramps.note(told.rateHz!, told.rateVar, dtS, this.#placeVar);
    this.rateVar = told.rateVar + this.#inDoubt.moreVar(told.rateHz!);
    if (this.advances && this.rateHz !== null)
      this.rateVar += advancingVar((told.rateHz! - this.rateHz) / dtS);
    this.rateHz = told.rateHz;
    if (this.#strikes > DOUBT_STRIKES) this.#learnMiss(DOUBT_STRIKES - 1);
  }

  /** @returns the best of what a hypothesis may become */
  #weigh(h: number): number {
    const each = this.#live[h]!;
    const seen = this.#seen;
    each.bank.predict(this.#lastDtS);
    seen.dtS = each.strayS + this.#lastDtS;
    seen.intervals = this.#intervals[h] = intervalsOf(each);
    const { log } = this.#misses;
    return weighWays(each, seen, this.#ramped, log, this.#cutSteps, this.#score, WAYS * h);
  }

  /** Where the strike came by the hypothesis that is the likeliest now. */
  #notePlace(dtS: number, timeVar: number, aside: boolean): void {
    const { bank, earlierHz, steps, way } = this.#live[0]!;
    if (way === STRAY) return this.#ramps.reset(); // it has no place, and the next comes after another interval
    const intervals = steps[this.#strikes & (READ_BACK - 1)]!;
    this.#placeVar = bank.advanceVar + earlierHz * earlierHz * timeVar;
    const sd = Math.sqrt(this.#placeVar);
    this.#inDoubt.note(earlierHz, intervals - bank.advance, sd, intervals, dtS, aside);
  }

  /** Where two strikes in a row come off the places of an even rate as they do once it begins to rise or fall evenly. */
  #takeRamp(dtS: number, timeVar: number): void {
    const best = this.#live[0]!;
    if (best.way === SLIPPED || best.way === HALVED || best.way === STRAY) return;
    const [first, second] = [(this.#strikes - 1) & (READ_BACK - 1), this.#strikes & (READ_BACK - 1)];
    const ramp = this.#ramps.find(best.steps[first]!, best.steps[second]!, dtS, timeVar);
    if (!ramp) return;
    const doubtHz = RAMP_DOUBT * ramp.changeHzPerS * dtS;
    best.bank.ramp(ramp.rateHz, ramp.changeHzPerS, doubtHz, timeVar);
    best.way = best.ways[first] = best.ways[second] = ON_TIME;
    best.logP = 0;
    this.#count = 1;
    this.#ramped = true;
    this.#told.sure(best.bank.rateHz, best.bank.rateVar);
  }

  /** Makes the likeliest of what may be; the others are forgotten. */
  #choose(best: number): void {
    const before = this.#count;
    const seen = this.#seen;
    let made = 0;
    for (; made < MOST; made++) {
      let which = -1;
      for (let s = 0; s < WAYS * before; s++)
        if (this.#score[s]! > best - HOPELESS && (which < 0 || this.#score[s]! > this.#score[which]!))
          which = s;
      if (which < 0) break;
      const from = Math.floor(which / WAYS);
      seen.intervals = this.#intervals[from]!;
      seen.dtS = this.#live[from]!.strayS + this.#lastDtS;
      readOn(this.#live[from]!, this.#next[made]!, (which % WAYS) as Way, seen);
      this.#next[made]!.logP = this.#score[which]! - best;
      this.#score[which] = -Infinity;
    }
    [this.#live, this.#next] = [this.#next, this.#live];
    this.#count = made;
  }

  /** A doubt that has lasted is decided; a slip is counted once no hypothesis is without it. */
  #settle(): void {
    this.#doubtFor = this.#count > 1 ? this.#doubtFor + 1 : 0;
    if (this.#doubtFor >= DOUBT_STRIKES) this.#keepNew();
    let certain = Infinity;
    for (let h = 0; h < this.#count; h++) certain = Math.min(certain, this.#live[h]!.slips);
    if (certain === 0) return;
    this.slips += certain;
    for (let h = 0; h < this.#count; h++) {
      const each = this.#live[h]!;
      const settledS = (each.slippedS * certain) / each.slips;
      if (h === 0) this.slippedS += settledS;
      each.slips -= certain;
      each.slippedS -= settledS;
    }
  }

  /** Of the hypotheses that no doubt arose about at this strike, only the likeliest stays, and those that misses alone tell
   * from it: one half as fast, and one twice as fast whose rate is well known. */
  #keepNew(): void {
    const bestHz = this.#live[0]!.bank.rateHz;
    let kept = 0;
    let onTime = 0;
    for (let h = 0; h < this.#count; h++) {
      const each = this.#live[h]!;
      if (each.way === ON_TIME && onTime++ > 0 && !this.#mayBe(each, bestHz)) continue;
      this.#live[h] = this.#live[kept]!;
      this.#live[kept++] = each;
    }
    this.#count = kept;
  }

  #mayBe(each: Hypothesis, bestHz: number): boolean {
    const { rateHz } = each.bank;
    return isHalf(rateHz, bestHz) || (isHalf(bestHz, rateHz) && !isOfFew(each, this.#strikes));
  }

  /** Of a strike so far back that how it is read is settled. */
  #learnMiss(back: number): void {
    this.#misses.learn(this.wayOf(back) === ON_TIME && this.stepsOf(back) > 1);
  }
}
