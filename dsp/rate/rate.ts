/** The rate of a beat: strike times in, hertz with its standard deviation out, each from the strikes up to it. Where a
 * strike comes off its time, sound may have been lost unseen, or the engine changed its speed: both are followed side by
 * side, the earlier rate is kept, and the next strike tells. Counts what slipped. Allocates nothing.
 * @source Reid, IEEE Trans. Automatic Control 24 (1979) 843-854: hypotheses kept until later data tell (memory) */
import { RateDoubt } from './doubt';
import { RampWatch } from './ramp';
import { RateBank } from './rate-bank';

/** What a strike off its time may mean. */
export const ON_TIME = 0;
export const SLIPPED = 1;
const CHANGED = 2;
const HALVED = 3;
const WAYS = 4;
export type Way = typeof ON_TIME | typeof SLIPPED | typeof CHANGED | typeof HALVED;

/** Hypotheses kept, and how much less likely one may be than the best, natural logarithm. */
const MOST = 4;
const HOPELESS = 12;
/** So many strikes after a doubt began the best is believed. */
const DOUBT_STRIKES = 4;
/** A slip less likely than this is none: straight after another, and where the rate was restless before. */
const DOUBTFUL = 0.04;
const DOUBTFUL_AFTER_SLIP = 0.5;
const DOUBTFUL_WHEN_RESTLESS = 0.6;
/** Restless: so much standard deviation before the strike, as a share of the rate. */
const RESTLESS = 0.04;
/** A rate with so much standard deviation is not taken over the earlier one. */
const UNKNOWN = 0.4;
/** While it is doubtful, the rate goes so far at the most from the earlier towards the one that may be new. */
const TOWARDS = 0.045;
/** Lost blocks a second, the longest of them, and how much rarer one is straight after another, or two at once. */
const SLIPS_PER_S = 0.01;
const LONGEST_SLIP_S = 0.05;
const SLIP_AFTER_SLIP = 0.03;
const SECOND_SLIP = 0.01;
const SLIP_AFTER_RAMP = 1e-3;
/** Chance that the beat was taken up at a wrong place. */
const WRONG_PLACE_CHANCE = 1e-4;
/** Chance that the engine is at once at another speed, at a strike and in a second at the most, anywhere within this
 * natural logarithm either way. */
const CHANGE_CHANCE = 4e-3;
const CHANGES_PER_S = 0.04;
const CHANGE_REACH = 2.2;
const CHANGE_SD = 0.25;
/** Chance that it goes half as fast, or that it was taken for twice as fast as it goes. */
const HALVED_CHANCE = 3e-4;
const HALF_WITHIN = 0.02;
const HALF_LEAD = 3;
/** Misses among strikes before any is seen, how many strikes back they count, and their share at the most; more than so
 * many missed in a row are one cut. */
const MISSES_AT_FIRST = 0.4;
const STRIKES_AT_FIRST = 20;
const MISSES_COUNT_FOR = 200;
const MOST_MISSES = 0.15;
const MISSES_IN_A_CUT = 4;
/** A ramp that two strikes tell of is taken where the rate is less well known than this share of it, and doubted by this
 * share of what it rose since the strike before: it is not quite even. */
const UNSURE = 0.02;
const RAMP_DOUBT = 0.15;
/** The search that found the beat knows its interval so well. */
const START_SD = 0.07;

interface Hypothesis {
  readonly bank: RateBank;
  /** Natural logarithm of its likelihood by the best's. */
  logP: number;
  way: Way;
  /** The rate before this strike. */
  earlierHz: number;
  /** How it reads the last strikes, by their number: the way, and intervals since the strike before. */
  readonly ways: Int8Array;
  readonly steps: Int32Array;
  /** Slips it holds that are not settled yet, and the time that slipped. */
  slips: number;
  slippedS: number;
}

/** How the last so many strikes are read can be asked for; a power of two. */
export const READ_BACK = 32;
/** An engine is as restless as can be at so many times its lowest rate. */
const RESTLESS_BELOW = 4.5;

const makeHypothesis = (longestS: number): Hypothesis => ({
  bank: new RateBank(longestS / RESTLESS_BELOW),
  logP: 0,
  earlierHz: 0,
  way: ON_TIME,
  ways: new Int8Array(READ_BACK),
  steps: new Int32Array(READ_BACK),
  slips: 0,
  slippedS: 0,
});

/** Time that vanished at least, seconds, where a strike comes so many intervals after the last and so long. */
export const slippedOf = (advance: number, dtS: number): number =>
  ((Math.ceil(advance) - advance) * dtS) / Math.max(advance, 0.05);

export class RateFilter {
  #live: Hypothesis[];
  #next: Hypothesis[];
  #count = 0;
  /** What each live hypothesis may become. */
  readonly #score = new Float64Array(WAYS * MOST);
  readonly #intervals = new Float64Array(MOST);
  #strikes = 0;
  #doubtFor = 0;
  #saidWay: Way = ON_TIME;
  #lastS = 0;
  #aboutS = 0;
  readonly #ramps: RampWatch;
  readonly #inDoubt = new RateDoubt();
  /** The last strike told of a ramp. */
  #ramped = false;
  #missed = MISSES_AT_FIRST;
  #counted = STRIKES_AT_FIRST;
  /** At the last strike; null before two strikes. */
  rateHz: number | null = null;
  rateVar = 0;
  /** Since the start: how often the beat slipped, and by how much at least. */
  slips = 0;
  slippedS = 0;

  /** @param longestS interval at the lowest rate that can be */
  constructor(longestS: number) {
    this.#ramps = new RampWatch(longestS);
    this.#live = Array.from({ length: MOST }, () => makeHypothesis(longestS));
    this.#next = Array.from({ length: MOST }, () => makeHypothesis(longestS));
  }

  /** Forgets the rate. @param aboutS what the interval is about, from the search that found the beat */
  reset(aboutS: number): void {
    this.#strikes = 0;
    this.#aboutS = aboutS;
    this.#ramps.reset();
    this.#inDoubt.reset();
    this.rateHz = null;
  }

  /** How strike `back` before the last is read by what is known now, and intervals before it. */
  wayOf(back: number): Way {
    return this.#live[0]!.ways[(this.#strikes - 1 - back) & (READ_BACK - 1)] as Way;
  }
  stepsOf(back: number): number {
    return this.#live[0]!.steps[(this.#strikes - 1 - back) & (READ_BACK - 1)]!;
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
   * between and was set aside */
  take(timeS: number, timeVar: number, aside = false): void {
    if (this.#strikes === 0) this.#start(timeVar);
    else this.#follow(timeS - this.#lastS, timeVar, aside);
    this.#strikes++;
    this.#lastS = timeS;
  }

  #start(timeVar: number): void {
    const first = this.#live[0]!;
    this.#count = 1;
    first.logP = first.slips = first.slippedS = 0;
    first.way = ON_TIME;
    first.bank.start(1 / this.#aboutS, (START_SD / this.#aboutS) ** 2, timeVar);
  }

  #follow(dtS: number, timeVar: number, aside: boolean): void {
    let best = -Infinity;
    for (let h = 0; h < this.#count; h++) best = Math.max(best, this.#weigh(h, dtS, timeVar));
    this.#notePlace(dtS, timeVar, aside);
    this.#choose(best, dtS, timeVar);
    this.#settle();
    this.#tell();
    this.#ramped = false;
    if (this.rateVar > (UNSURE * this.rateHz!) ** 2) this.#takeRamp(dtS, timeVar);
    this.#ramps.note(this.rateHz!, this.rateVar, dtS);
    this.rateVar += this.#inDoubt.moreVar(this.rateHz!);
    this.#learnMisses();
  }

  /** Where the strike comes by the likeliest hypothesis. */
  #notePlace(dtS: number, timeVar: number, aside: boolean): void {
    const { bank } = this.#live[0]!;
    const steps = this.#intervals[0]!;
    const sd = Math.sqrt(bank.advanceVar + bank.rateHz * bank.rateHz * timeVar);
    this.#inDoubt.note(bank.rateHz, steps - bank.advance, sd, steps, dtS, aside);
  }

  /** Where two strikes in a row come off the places of an even rate as they do once it begins to rise or fall evenly. */
  #takeRamp(dtS: number, timeVar: number): void {
    const best = this.#live[0]!;
    if (best.way === SLIPPED || best.way === HALVED) return;
    const [first, second] = [(this.#strikes - 1) & (READ_BACK - 1), this.#strikes & (READ_BACK - 1)];
    const ramp = this.#ramps.find(best.steps[first]!, best.steps[second]!, dtS, timeVar);
    if (!ramp) return;
    const doubtHz = RAMP_DOUBT * ramp.changeHzPerS * dtS;
    best.bank.ramp(ramp.rateHz, ramp.changeHzPerS, doubtHz, timeVar);
    best.way = best.ways[first] = best.ways[second] = ON_TIME;
    best.logP = 0;
    this.#count = 1;
    this.#ramped = true;
    this.#saidWay = ON_TIME;
    this.rateHz = best.bank.rateHz;
    this.rateVar = best.bank.rateVar;
  }

  /** @returns the best of what a hypothesis may become */
  #weigh(h: number, dtS: number, timeVar: number): number {
    const { bank, logP, way } = this.#live[h]!;
    bank.predict(dtS);
    const intervals = (this.#intervals[h] =
      way === CHANGED && bank.advance < 1.8 ? 1 : Math.max(1, Math.round(bank.advance)));
    const missed =
      Math.min(MISSES_IN_A_CUT, intervals - 1) *
      Math.log(Math.min(MOST_MISSES, this.#missed / this.#counted));
    const onTime = bank.compare(intervals, timeVar);
    const slipS = slippedOf(bank.advance, dtS);
    const rarer =
      (way === SLIPPED ? SLIP_AFTER_SLIP : 1) *
      (this.#ramped ? SLIP_AFTER_RAMP : 1) *
      (slipS > LONGEST_SLIP_S ? SECOND_SLIP : 1);
    const often = (SLIPS_PER_S * dtS * rarer) / LONGEST_SLIP_S;
    const changes = way !== CHANGED && Math.abs(Math.log(bank.advance)) < CHANGE_REACH;
    const at = WAYS * h;
    this.#score[at + ON_TIME] = logP + onTime + missed;
    this.#score[at + SLIPPED] =
      logP + Math.log(slipS < 2 * LONGEST_SLIP_S ? often : WRONG_PLACE_CHANCE / dtS);
    this.#score[at + CHANGED] = changes
      ? logP + Math.log(Math.min(CHANGE_CHANCE / dtS, CHANGES_PER_S) / (2 * CHANGE_REACH))
      : -Infinity;
    this.#score[at + HALVED] = intervals === 2 ? logP + onTime + Math.log(HALVED_CHANCE) : -Infinity;
    let best = -Infinity;
    for (let w = 0; w < WAYS; w++) best = Math.max(best, this.#score[at + w]!);
    return best;
  }

  /** Makes the likeliest of what may be; the others are forgotten. */
  #choose(best: number, dtS: number, timeVar: number): void {
    const before = this.#count;
    let made = 0;
    for (; made < MOST; made++) {
      let which = -1;
      for (let s = 0; s < WAYS * before; s++)
        if (this.#score[s]! > best - HOPELESS && (which < 0 || this.#score[s]! > this.#score[which]!))
          which = s;
      if (which < 0) break;
      this.#make(this.#next[made]!, Math.floor(which / WAYS), (which % WAYS) as Way, dtS, timeVar);
      this.#next[made]!.logP = this.#score[which]! - best;
      this.#score[which] = -Infinity;
    }
    [this.#live, this.#next] = [this.#next, this.#live];
    this.#count = made;
  }

  #make(into: Hypothesis, h: number, way: Way, dtS: number, timeVar: number): void {
    const from = this.#live[h]!;
    const intervals = this.#intervals[h]!;
    const { bank } = into;
    bank.copy(from.bank);
    into.way = way;
    into.earlierHz = from.bank.rateHz;
    into.ways.set(from.ways);
    into.steps.set(from.steps);
    into.ways[this.#strikes & (READ_BACK - 1)] = way;
    into.steps[this.#strikes & (READ_BACK - 1)] = intervals;
    if (way === HALVED) this.#readHalved(into);
    into.slips = from.slips;
    into.slippedS = from.slippedS;
    if (way === ON_TIME) bank.update(intervals, timeVar);
    else if (way === HALVED) {
      bank.update(intervals, timeVar);
      bank.halve();
    } else if (way === CHANGED) bank.restart(dtS, from.bank.rateHz, CHANGE_SD, timeVar);
    else {
      const slipS = slippedOf(bank.advance, dtS);
      if (slipS < 2 * LONGEST_SLIP_S) {
        into.slips++;
        into.slippedS += slipS;
      }
      bank.anchor(timeVar, intervals > MISSES_IN_A_CUT ? 0.2 : 0, Math.min(slipS, LONGEST_SLIP_S));
    }
  }

  /** All strikes in a row up to this one that were read as two intervals are one each: it went half as fast from the first
   * of them on. */
  #readHalved({ ways, steps }: Hypothesis): void {
    const most = Math.min(READ_BACK, this.#strikes);
    for (let back = 0; back < most; back++) {
      const at = (this.#strikes - back) & (READ_BACK - 1);
      if (steps[at] !== 2 || (back > 0 && ways[at] !== ON_TIME)) return;
      if (back > 0) ways[(at + 1) & (READ_BACK - 1)] = ON_TIME;
      steps[at] = 1;
      ways[at] = HALVED;
    }
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

  /** Of the hypotheses that no doubt arose about at this strike, only the likeliest stays. */
  #keepNew(): void {
    let kept = 0;
    let onTime = 0;
    for (let h = 0; h < this.#count; h++) {
      const each = this.#live[h]!;
      if (each.way === ON_TIME && onTime++ > 0 && !this.#isHalf(each)) continue;
      this.#live[h] = this.#live[kept]!;
      this.#live[kept++] = each;
    }
    this.#count = kept;
  }

  /** One half as fast as the likeliest: it may be told apart by what is missing alone. */
  #isHalf({ bank }: Hypothesis): boolean {
    return Math.abs((2 * bank.rateHz) / this.#live[0]!.bank.rateHz - 1) < HALF_WITHIN;
  }

  /** The rate by the likeliest hypothesis; where that may be a slip, or another speed at once, by the earlier rate. */
  #tell(): void {
    let total = 0;
    for (let h = 0; h < this.#count; h++) total += Math.exp(this.#live[h]!.logP);
    const restless = this.rateHz !== null && this.rateVar > (RESTLESS * this.rateHz) ** 2;
    const doubtful =
      total *
      (this.#saidWay === SLIPPED ? DOUBTFUL_AFTER_SLIP : restless ? DOUBTFUL_WHEN_RESTLESS : DOUBTFUL);
    let said = -1; // they stand in order of likelihood
    let onTime = -1;
    for (let h = 0; h < this.#count; h++) {
      const { way, logP } = this.#live[h]!;
      if (way === SLIPPED && said === -1 && Math.exp(logP) > doubtful) said = h;
      if (way === ON_TIME && onTime === -1) onTime = h;
    }
    if (said === -1) said = this.#notHalf(Math.max(0, onTime));
    const { way, earlierHz, bank } = this.#live[said]!;
    this.#saidWay = way;
    let rateHz = way === CHANGED || way === HALVED ? earlierHz : bank.rateHz;
    if (way !== ON_TIME && onTime >= 0) {
      const other = this.#live[onTime]!.bank.rateHz;
      rateHz *= Math.max(1 - TOWARDS, Math.min(1 + TOWARDS, other / rateHz));
    }
    const spread = this.#spreadAbout(rateHz, total);
    const unknown = spread > (UNKNOWN * rateHz) ** 2 && this.rateHz !== null;
    if (!unknown) this.rateHz = rateHz;
    this.rateVar = unknown ? this.#spreadAbout(this.rateHz!, total) : spread;
  }

  /** Where the likeliest goes half as fast as another that is nearly as likely, misses may be all there is to it. */
  #notHalf(likeliest: number): number {
    const { bank, logP } = this.#live[likeliest]!;
    for (let h = 0; h < this.#count; h++) {
      const other = this.#live[h]!;
      const ratio = other.bank.rateHz / (2 * bank.rateHz);
      if (other.way === ON_TIME && other.logP > logP - HALF_LEAD && Math.abs(ratio - 1) < HALF_WITHIN)
        return h;
    }
    return likeliest;
  }

  #spreadAbout(rateHz: number, total: number): number {
    let variance = 0;
    for (let h = 0; h < this.#count; h++) {
      const { bank, logP } = this.#live[h]!;
      variance += (Math.exp(logP) / total) * (bank.rateVar + (bank.rateHz - rateHz) ** 2);
    }
    return variance;
  }

  /** Of a strike so far back that how it is read is settled. */
  #learnMisses(): void {
    if (this.#strikes <= DOUBT_STRIKES) return;
    const back = DOUBT_STRIKES - 1;
    this.#missed += this.wayOf(back) === ON_TIME ? Math.min(1, this.stepsOf(back) - 1) : 0;
    if (++this.#counted <= MISSES_COUNT_FOR) return;
    this.#missed *= 0.5;
    this.#counted *= 0.5;
  }
}
