/** The chain of impulses that is most like a beat: events in, every end it may have with its cost out. A dynamic
 * programme over pairs of strikes; pairs that leave too much between them are never looked at. */
import {
  KICK_SHARE,
  leftOutCost,
  MISS_COST,
  repeatsS,
  tailS,
  timingCost,
  unlikeCost,
} from '../beat/beat-costs';
import type { BeatLimits } from '../beat/beat-limits';
import type { Events } from './events';

/** How strikes are weighed, by whether they stand clear of the noise. */
interface Weights {
  /** Relative deviation of one interval from the one before it that is usual. */
  readonly scatter: number;
  readonly longestStep: number;
  /** What a strike in its place is worth: less than two strikes of unlike height cost. */
  readonly worth: number;
  readonly missCost: number;
  /** Mean cost of a strike that makes a beat believed. */
  readonly believed: number;
}
const CLEAR: Weights = { scatter: 0.06, longestStep: 2, worth: 0.9, missCost: MISS_COST, believed: 1.3 };
/** In loud noise even intervals tell, and heights by how seldom noise is so tall; what is missing was hidden. */
const WEAK: Weights = { scatter: 0.015, longestStep: 3, worth: 0, missCost: 1, believed: -0.6 };
/** Every impulse that is looked at stands so far over the noise at least; and no height says more than this. */
const LEAST_OVER = 3.3;
const MOST_EVIDENCE = 5;
/** A pair that costs so much by itself is no part of a beat. */
const HOPELESS_PAIR = 9;

/** A pair of strikes, the last of a chain. */
interface Pair {
  readonly i: number;
  readonly j: number;
  readonly step: number;
  readonly periodS: number;
  cost: number;
  before: Pair | null;
  deviation: number;
  length: number;
}

export interface ChainEnd {
  readonly cost: number;
  readonly periodS: number;
  readonly pair: Pair;
}

/** @param nowS up to when the signal is known */
export function chainEnds(events: Events, nowS: number, limits: BeatLimits): ChainEnd[] {
  const search = new ChainSearch(events, limits);
  return search.run(nowS);
}

/** Cost below which a chain of so many strikes is believed. */
export function believedCost(events: Events, strikes: number): number {
  const { believed, worth } = events.weak ? WEAK : CLEAR;
  return (believed - worth) * strikes + 1;
}

/** Places of a chain's strikes among the events, oldest first, and intervals since the one before. */
export function strikesOf(end: ChainEnd): { places: number[]; steps: number[] } {
  const places = [end.pair.j];
  const steps: number[] = [];
  for (let pair: Pair | null = end.pair; pair; pair = pair.before) {
    places.push(pair.i);
    steps.push(pair.step);
  }
  return { places: places.reverse(), steps: [0, ...steps.reverse()] };
}

class ChainSearch {
  readonly #endingIn: Pair[][] = [];
  readonly #by: Weights;
  readonly #looseness: number;
  readonly #spread: number;

  constructor(
    private readonly events: Events,
    private readonly limits: BeatLimits,
  ) {
    this.#by = events.weak ? WEAK : CLEAR;
    this.#looseness = limits.patternLength > 1 || events.weak ? 2 : 1;
    this.#spread = limits.patternLength % 2 === 0 ? 2.6 : 1.65;
  }

  run(nowS: number): ChainEnd[] {
    const { timeS } = this.events;
    const ends: ChainEnd[] = [];
    for (let j = 0; j < timeS.length; j++) {
      const pairs: Pair[] = (this.#endingIn[j] = []);
      for (let i = j - 1; i >= 0 && timeS[j]! - timeS[i]! <= this.#by.longestStep * this.limits.longestS; i--)
        for (let step = 1; step <= this.#by.longestStep; step++) this.#reach(i, j, step, pairs);
      for (const pair of pairs)
        ends.push({ cost: pair.cost + this.#endCost(pair, nowS), periodS: pair.periodS, pair });
    }
    return ends;
  }

  #reach(i: number, j: number, step: number, into: Pair[]): void {
    const { timeS, logPeak } = this.events;
    const periodS = (timeS[j]! - timeS[i]!) / step;
    if (periodS < this.limits.shortestS || periodS > this.limits.longestS) return;
    const level = (logPeak[i]! + logPeak[j]!) / 2;
    const unlike = unlikeCost(logPeak[j]! - logPeak[i]!, this.#looseness) + (step - 1) * this.#by.missCost;
    const between = this.#between(i, j, level, periodS, HOPELESS_PAIR - unlike);
    if (unlike + between > HOPELESS_PAIR) return;
    const own = unlike + between - this.#worth(j);
    const first = own - this.#worth(i) + this.#between(-1, i, level, 0, Infinity);
    const pair: Pair = { i, j, step, periodS, cost: first, before: null, deviation: 0, length: 2 };
    this.#join(pair, own);
    into.push(pair);
  }

  /** Among noise a strike is worth the more the seldomer noise is as tall: its heights are normally distributed. */
  #worth(j: number): number {
    if (!this.events.weak) return this.#by.worth;
    return this.#by.worth + Math.min(MOST_EVIDENCE, (this.events.over[j]! ** 2 - LEAST_OVER ** 2) / 2);
  }

  /** The best chain that ends where the pair begins. */
  #join(pair: Pair, own: number): void {
    const leastS = pair.periodS / this.#spread;
    const mostS = this.#spread * pair.periodS;
    for (const past of this.#endingIn[pair.i]!) {
      if (past.periodS < leastS || past.periodS > mostS) continue;
      const favour = pair.length === 2 ? 1 : 0; // a longer chain, before one that starts here
      if (past.cost + own >= pair.cost + favour) continue;
      const deviation = Math.log(pair.periodS / past.periodS);
      const cost = past.cost + own + this.#unevenCost(deviation, past.deviation);
      if (cost >= pair.cost + favour) continue;
      pair.cost = cost;
      pair.before = past;
      pair.deviation = deviation;
      pair.length = past.length + 1;
    }
  }

  /** Odd-fire engines on a coil lead have long and short intervals in turn. */
  #unevenCost(deviation: number, lastDeviation: number): number {
    const even = timingCost(deviation / this.#by.scatter);
    if (this.limits.patternLength % 2 === 1) return even;
    return Math.min(even, 0.7 + timingCost((deviation + lastDeviation) / (1.5 * this.#by.scatter)));
  }

  /** Impulses left out between two others (-1: from the start; n: to the end), less the first one's repeats and kicks.
   * @param most what it need not count beyond */
  #between(i: number, j: number, level: number, periodS: number, most: number): number {
    if (this.events.weak) return 0;
    const { timeS, peak } = this.events;
    const height = Math.exp(level);
    const startS = i >= 0 ? timeS[i]! : -Infinity;
    const repeatsUntilS = startS + repeatsS(periodS, this.limits.repeatShare);
    const kicksUntilS = startS + tailS(periodS, this.limits.repeatShare);
    let cost = 0;
    for (let x = j - 1; x > i && timeS[x]! >= repeatsUntilS && cost <= most; x--) {
      const share = peak[x]! / height;
      if (share >= KICK_SHARE || timeS[x]! >= kicksUntilS) cost += leftOutCost(share);
    }
    return cost;
  }

  #endCost({ j, periodS }: Pair, nowS: number): number {
    const { timeS, logPeak } = this.events;
    const overdue = Math.max(0, Math.floor((nowS - timeS[j]!) / periodS - 0.3));
    return this.#between(j, timeS.length, logPeak[j]!, periodS, Infinity) + overdue * this.#by.missCost;
  }
}
