/** Takes a beat further back than it was found: a stray may have hidden its true start, and the search looks at no more
 * than the last moments. Batch work. */
import { hearsOthers, type Beat, type BeatLimits } from '../beat/beat-limits';
import { CROSSTALK_SHARE, leftOutCost, MISS_COST, tailS, timingCost, unlikeCost } from '../beat/beat-costs';
import type { Candidates } from '../impulses/candidates';
import { middleOf } from '../quantile-of';
import { afterCatching } from './catching';
import { isOne, OVER_OTHERS, OWN_S, tallestBetween, usualPeak } from './between-strikes';
import { SWING_S } from './events';
import { fewStandTall, oneLead } from './one-lead';

/** Relative deviation of an interval from the one after it that is usual; less where noise stands as tall as strikes. */
const CLEAR = { scatter: 0.03, longestStep: 3, missCost: MISS_COST, standsOver: 0, mostCost: 5 } as const;
const WEAK = { scatter: 0.004, longestStep: 7, missCost: 0.7, standsOver: 3, mostCost: 5 } as const;
type How = typeof CLEAR | typeof WEAK | typeof STEADY;
const LEAST_SHARE = 0.3;
/** What it costs that a low strike hardly stands over what comes between others: it may be another lead's. */
const LOW_SHARE = 0.5;
const LOW_COST = 3;
/** What it costs at least to leave one out that stands over all others: a strike, unless it is a stray. */
const PASSED_COST = 1.5;
/** Where its first intervals differ by so much, natural logarithm, the engine has just caught, and a long interval may be
 * one as well as two. */
const RESTLESS = 0.1;
/** The first strike of a beat has none before it that tells its time, so a stray near it may stand for it: then the beat
 * goes back further, by so many strikes, from the one after it. Among noise strays near it are everywhere. */
const GAINED = 2;
const FEWEST_BUT_FIRST = 5;
/** A first interval is odd that is off by so much, as a share, the so many after it alike within so much. */
const ODD = 0.02;
const ALIKE = 3;
const ALIKE_WITHIN = 0.004;
/** Of a beat whose intervals, natural logarithm, differ by so much from one to the next, the last strikes may be the only ones
 * that are its lead's: so many of them tell its speed. */
const UNSTEADY = 0.07;
const FEWEST_STEADY = 5;
const STEADY = { ...CLEAR, scatter: 0.012, mostCost: 12 } as const;
/** Of two ways back one is as good that begins so soon after the other, in intervals, and is no lower, natural logarithm. */
const AS_FAR = 1.5;
const AS_TALL = 0.1;
/** So many strikes, the furthest back, tell whether they are one lead's. */
const TELLING = 16;

/** Goes on backwards from a beat's first strike over up to two missed at a time.
 * @param from oldest candidate to look at */
export function extendBack(all: Candidates, beat: Beat, from: number, limits: BeatLimits): Beat {
  const back = furthestBack(all, beat, from, limits);
  if (isFirstOdd(all, back)) return withoutFirst(back);
  const mayCatch = hearsOthers(limits) && all.standsOver === 0 && !back.isCut;
  return mayCatch ? afterCatching(all, back) : back;
}

/** Whether a beat's first interval is unlike the next few, which are all alike: no engine goes like that, and its first
 * strike is a stray's. */
function isFirstOdd(all: Candidates, { strikes, steps, pattern, isCut }: Beat): boolean {
  if (all.standsOver > 0 || pattern || isCut || strikes.length < ALIKE + 2) return false;
  const intervals = steps
    .slice(1, ALIKE + 2)
    .map((step, k) => (timeOf(all, strikes[k + 1]!) - timeOf(all, strikes[k]!)) / step);
  const [first, ...next] = intervals as [number, ...number[]];
  const [shortest, longest] = [Math.min(...next), Math.max(...next)];
  const off = Math.abs(first / shortest - 1);
  return longest < (1 + ALIKE_WITHIN) * shortest && off > ODD && off < RESTLESS;
}

function furthestBack(all: Candidates, beat: Beat, from: number, limits: BeatLimits): Beat {
  const whole = walkBack(all, beat, from, limits);
  if (all.standsOver > 0 || beat.pattern || beat.isCut || beat.strikes.length < FEWEST_BUT_FIRST)
    return whole;
  const steady = hearsOthers(limits) ? fromSteady(all, whole, from, limits) : null;
  if (steady) return steady;
  const butFirst = walkBack(all, withoutFirst(beat), from, limits);
  return butFirst.strikes.length >= whole.strikes.length + GAINED ? butFirst : whole;
}

const withoutFirst = (beat: Beat): Beat => ({
  ...beat,
  strikes: beat.strikes.slice(1),
  steps: [0, ...beat.steps.slice(2)],
});

/** Another way back, from where a beat's intervals jump for the last time, or from an earlier jump, if it goes as far. */
function fromSteady(all: Candidates, whole: Beat, from: number, limits: BeatLimits): Beat | null {
  const { strikes, steps } = whole;
  for (let first = strikes.length - FEWEST_STEADY; first > 1; first--) {
    if (!jumpsAt(all, whole, first)) continue;
    const last = { ...whole, strikes: strikes.slice(first), steps: [0, ...steps.slice(first + 1)] };
    const back = walkBack(all, last, from, limits, STEADY);
    let jumps = 0;
    for (let i = 2; i <= back.strikes.length - last.strikes.length + 1; i++)
      if (jumpsAt(all, back, i)) jumps++;
    if (jumps === 0 && goesAsFarAsTall(all, back, whole)) return back;
  }
  return null;
}

/** Whether the interval before one of a beat's strikes is unlike the one before that. */
function jumpsAt(all: Candidates, { strikes, steps }: Beat, i: number): boolean {
  const timeS = (k: number): number => timeOf(all, strikes[k]!);
  const [before, after] = [
    (timeS(i - 1) - timeS(i - 2)) / steps[i - 1]!,
    (timeS(i) - timeS(i - 1)) / steps[i]!,
  ];
  return Math.abs(Math.log(after / before)) >= UNSTEADY;
}

/** Whether a beat begins about as early as another, its first strikes as tall: those of several leads, or strays, may seem
 * to go on at another speed. */
function goesAsFarAsTall(all: Candidates, one: Beat, other: Beat): boolean {
  const firstS = timeOf(all, other.strikes[0]!);
  if (timeOf(all, one.strikes[0]!) > firstS + AS_FAR * one.periodS) return false;
  const own = new Set(one.strikes);
  const height = (strikes: readonly number[]): number =>
    middleOf(strikes.map((strike) => Math.log(all.peak[all.at(strike)]!)));
  const others = new Set(other.strikes);
  const front = one.strikes.filter((strike) => !others.has(strike));
  const instead = other.strikes.filter((strike) => !own.has(strike));
  if (front.length === 0 || instead.length === 0) return instead.length > 0;
  return height(front) > height(instead) - AS_TALL;
}

const timeOf = (all: Candidates, candidate: number): number => all.timeS[all.at(candidate)]!;

function walkBack(
  all: Candidates,
  beat: Beat,
  from: number,
  limits: BeatLimits,
  how: How = all.standsOver > 0 ? WEAK : CLEAR,
): Beat {
  const walk = new BackWalk(all, beat, from, limits, how);
  const back: Back[] = [];
  for (let found = walk.next(); found; found = walk.next()) back.push(found);
  if (hearsOthers(limits)) while (back.length > 0 && areSeveral(all, back.slice(-TELLING))) back.pop();
  const strikes = [...beat.strikes];
  const steps = [...beat.steps];
  const pattern = beat.pattern ? [...beat.pattern] : null;
  for (const found of back) {
    strikes.unshift(found.candidate);
    steps.splice(0, 1, 0, found.steps);
    if (pattern) for (let k = 0; k < found.steps; k++) pattern.unshift(pattern.pop()!);
  }
  return { ...beat, strikes, steps, pattern };
}

/** A strike before the first, so many intervals back. */
interface Back {
  readonly candidate: number;
  readonly steps: number;
}

/** Whether every how many-th of some strikes stands over all others, or a few of them do: several leads'. */
function areSeveral(all: Candidates, back: readonly Back[]): boolean {
  let place = 0;
  const places = back.map(({ steps }) => (place += steps));
  const logPeaks = back.map(({ candidate }) => Math.log(all.peak[all.at(candidate)]!));
  const { every, sure, likely } = oneLead(logPeaks, places, 1);
  return (every > 1 && (sure || likely)) || fewStandTall(logPeaks);
}

class BackWalk {
  #first: number;
  #logLevel: number;
  readonly #longestStep: number;
  /** Mean interval. */
  #periodS: number;
  /** Slot of the pattern in which the interval before the first strike lies. */
  #slot = -1;
  /** One lead, clear of noise, that may hear others: how tall those are. */
  readonly #isOneLead: boolean = false;
  readonly #tallestOther: number = 0;

  constructor(
    private readonly all: Candidates,
    private readonly beat: Beat,
    private readonly from: number,
    private readonly limits: BeatLimits,
    private readonly how: How,
  ) {
    const { strikes, steps } = beat;
    this.#first = strikes[0]!;
    this.#isOneLead = all.standsOver === 0 && hearsOthers(limits);
    if (this.#isOneLead) this.#tallestOther = tallestBetween(all, beat, limits);
    this.#longestStep = this.#isRestless() ? 1 : this.how.longestStep;
    const early = Math.min(Math.max(4, beat.pattern?.length ?? 0), strikes.length - 1);
    const intervals = steps.slice(1, early + 1).reduce((sum, step) => sum + step, 0);
    this.#periodS = (this.#timeS(strikes[early]!) - this.#timeS(strikes[0]!)) / intervals;
    this.#logLevel = Math.log(usualPeak(all, beat));
  }

  #timeS(candidate: number): number {
    return timeOf(this.all, candidate);
  }

  #isRestless(): boolean {
    const { strikes, steps, pattern } = this.beat;
    if (pattern || strikes.length < 3) return false;
    const [a, b, c] = strikes.slice(0, 3).map((strike) => this.#timeS(strike)) as [number, number, number];
    return Math.abs(Math.log(((b - a) * steps[2]!) / ((c - b) * steps[1]!))) > RESTLESS;
  }

  /** So many intervals back from the first strike, in mean intervals. */
  #back(steps: number): number {
    const { pattern } = this.beat;
    if (!pattern) return steps;
    let sum = 0;
    for (let k = 0; k < steps; k++) {
      const slot = (((this.#slot - k) % pattern.length) + pattern.length) % pattern.length;
      sum += Math.exp(pattern[slot]!);
    }
    return sum;
  }

  next(): Back | null {
    const { all, beat } = this;
    const firstS = this.#timeS(this.#first);
    let best: Back | null = null;
    let bestCost: number = this.how.mostCost;
    for (let c = this.#first - 1; c >= this.from; c--) {
      const i = all.at(c);
      const intervals = (firstS - all.timeS[i]!) / this.#periodS;
      if (intervals > this.#back(this.#longestStep) + 0.2) break;
      const logShare = Math.log(all.peak[i]!) - this.#logLevel;
      if (all.sign[i] !== beat.sign || logShare < Math.log(LEAST_SHARE)) continue;
      if (all.peak[i]! < this.how.standsOver * all.noise[i]!) continue; // noise alone may end there
      if (all.isEcho(c, 0.6 * this.#periodS, SWING_S)) continue;
      const fit = this.#fit(intervals, logShare);
      const { steps } = fit;
      const cost = fit.cost + (this.#isOneLead ? this.#besideCost(c) : 0);
      if (cost < bestCost) [best, bestCost] = [{ candidate: c, steps }, cost];
    }
    if (best) this.#step(best.candidate, best.steps);
    return best;
  }

  #fit(intervals: number, logShare: number): { cost: number; steps: number } {
    let best = { cost: Infinity, steps: 1 };
    for (let steps = 1; steps <= this.#longestStep; steps++) {
      const z = (intervals / this.#back(steps) - 1) / this.how.scatter;
      const cost = timingCost(z) + unlikeCost(logShare, 1) + (steps - 1) * this.how.missCost;
      if (cost < best.cost) best = { cost, steps };
    }
    return best;
  }

  /** What speaks against a strike of one lead by what stands beside it: another lead is as tall, or a taller one is left out
   * between it and the first. */
  #besideCost(candidate: number): number {
    const { all, beat } = this;
    const level = Math.exp(this.#logLevel);
    const afterS =
      this.#timeS(candidate) +
      tailS(this.#timeS(this.#first) - this.#timeS(candidate), this.limits.repeatShare);
    const untilS = this.#timeS(this.#first) - OWN_S;
    const others = OVER_OTHERS * this.#tallestOther;
    let cost = all.peak[all.at(candidate)]! < Math.min(others, LOW_SHARE * level) ? LOW_COST : 0;
    for (let c = candidate + 1; c < this.#first; c++)
      if (this.#timeS(c) > afterS && this.#timeS(c) < untilS && isOne(all, beat, c))
        cost += passedCost(all.peak[all.at(c)]! / level, others / level);
    return cost;
  }

  #step(candidate: number, steps: number): void {
    const interval = (this.#timeS(this.#first) - this.#timeS(candidate)) / this.#back(steps);
    this.#periodS += 0.5 * (interval - this.#periodS);
    this.#slot -= steps;
    this.#first = candidate;
    const height = Math.log(this.all.peak[this.all.at(candidate)]!);
    this.#logLevel += 0.3 * (height - this.#logLevel);
  }
}

/** What it costs to leave an impulse out. @param share its peak by a strike's @param others what other leads' may reach */
function passedCost(share: number, others: number): number {
  const least = share > Math.max(LEAST_SHARE, others) ? PASSED_COST : 0;
  return Math.max(least, leftOutCost(share, Math.max(CROSSTALK_SHARE, others)));
}
