/** Finds a beat among impulses: the candidates of the last moments in, the chain of strikes that explains them best
 * out, or none. Batch work, done only while no beat is followed. */
import { heightCost, leftOutCost, MISS_COST, tailS, timingCost } from './beat-costs';
import type { Candidates } from './candidates';

export interface BeatLimits {
  readonly shortestS: number;
  readonly longestS: number;
  /** After so many strikes heights and intervals may repeat: 1 for one lead. */
  readonly patternLength: number;
  readonly repeatShare: number;
}

export interface Beat {
  /** Candidate numbers, oldest first. */
  readonly strikes: readonly number[];
  /** Intervals that lie between each strike and the one before it: 2 where one was missed. */
  readonly steps: readonly number[];
  readonly sign: number;
  readonly periodS: number;
  readonly cost: number;
}

/** So many impulses are looked at: enough for six turns of eight leads. */
const MOST = 96;
/** Impulses beside others so much taller are no strikes of the clamped lead. */
const STRONG_SHARE = 0.4;
const STRONG_REACH_S = 0.15;
/** Relative deviation of one interval from the one before it that is usual. */
const INTERVAL_SCATTER = 0.06;
const LONGEST_STEP = 2;
const FEWEST = 5;
/** Mean cost of a strike, and lead over a beat of another period, that make a beat believed. */
const BELIEVED_COST = 1.3;
const BELIEVED_LEAD = 4;

/** @param from oldest candidate to look at @param nowS up to when the signal is known
 * @returns the beat, or null where none is believed yet */
export function findBeat(all: Candidates, from: number, nowS: number, limits: BeatLimits): Beat | null {
  const strong = strongOnes(all, Math.max(from, all.first));
  if (strong.length < FEWEST) return null;
  const chains = [1, -1].map((sign) => new ChainSearch(all, strong, sign, nowS, limits).run());
  const found = chains.filter((chain) => chain !== null).sort((a, b) => a.cost - b.cost);
  const best = found[0];
  if (!best || best.beat === null) return null;
  return best.beat;
}

/** Numbers of the candidates that are not dwarfed by a neighbour, at most the last `MOST`. */
function strongOnes(all: Candidates, from: number): number[] {
  const floor = new Float64Array(all.end - from);
  const sweep = (first: number, step: number): void => {
    let level = 0;
    let lastS = all.timeS[all.at(first)]!;
    for (let c = first; c >= from && c < all.end; c += step) {
      const timeS = all.timeS[all.at(c)]!;
      level *= Math.exp(-Math.abs(timeS - lastS) / STRONG_REACH_S);
      level = Math.max(level, all.peak[all.at(c)]!);
      lastS = timeS;
      floor[c - from] = Math.max(floor[c - from]!, level);
    }
  };
  if (floor.length > 0) {
    sweep(from, 1);
    sweep(all.end - 1, -1);
  }
  const strong: number[] = [];
  for (let c = all.end - 1; c >= from && strong.length < MOST; c--)
    if (all.peak[all.at(c)]! >= STRONG_SHARE * floor[c - from]!) strong.push(c);
  return strong.reverse();
}

/** The cheapest chain for every pair of strikes it may end in. */
class ChainSearch {
  readonly #n: number;
  readonly #timeS: Float64Array;
  readonly #logPeak: Float64Array;
  readonly #signs: Int8Array;
  /** By pair and step. */
  readonly #cost: Float64Array;
  readonly #before: Int32Array;
  readonly #deviation: Float64Array;
  readonly #length: Int32Array;

  constructor(
    all: Candidates,
    private readonly strong: readonly number[],
    private readonly sign: number,
    private readonly nowS: number,
    private readonly limits: BeatLimits,
  ) {
    const n = (this.#n = strong.length);
    this.#timeS = Float64Array.from(strong, (c) => all.timeS[all.at(c)]!);
    this.#logPeak = Float64Array.from(strong, (c) => Math.log(all.peak[all.at(c)]!));
    this.#signs = Int8Array.from(strong, (c) => all.sign[all.at(c)]!);
    this.#cost = new Float64Array(n * n * LONGEST_STEP).fill(Infinity);
    this.#before = new Int32Array(n * n * LONGEST_STEP).fill(-1);
    this.#deviation = new Float64Array(n * n * LONGEST_STEP);
    this.#length = new Int32Array(n * n * LONGEST_STEP);
  }

  #state(i: number, j: number, step: number): number {
    return (i * this.#n + j) * LONGEST_STEP + step - 1;
  }

  run(): { cost: number; beat: Beat | null } | null {
    const ends: { cost: number; state: number; j: number; periodS: number }[] = [];
    for (let j = 1; j < this.#n; j++) {
      if (this.#signs[j] !== this.sign) continue;
      for (let i = j - 1; i >= 0; i--) {
        if (this.#signs[i] !== this.sign) continue;
        const spanS = this.#timeS[j]! - this.#timeS[i]!;
        if (spanS > LONGEST_STEP * this.limits.longestS) break;
        for (let step = 1; step <= LONGEST_STEP; step++) {
          const periodS = spanS / step;
          if (periodS < this.limits.shortestS || periodS > this.limits.longestS) continue;
          const state = this.#state(i, j, step);
          this.#reach(i, j, step, periodS);
          const cost = this.#cost[state]! + this.#endCost(j, periodS);
          ends.push({ cost, state, j, periodS });
        }
      }
    }
    return this.#choose(ends);
  }

  #reach(i: number, j: number, step: number, periodS: number): void {
    const level = (this.#logPeak[i]! + this.#logPeak[j]!) / 2;
    const scatters = this.limits.patternLength > 1 ? 8 : 2;
    const own =
      heightCost(this.#logPeak[j]! - this.#logPeak[i]!, scatters) +
      (step - 1) * MISS_COST +
      this.#between(i, j, level, this.#timeS[i]! + tailS(periodS, this.limits.repeatShare));
    const state = this.#state(i, j, step);
    this.#cost[state] = own + this.#between(-1, i, level, -Infinity);
    this.#length[state] = 2;
    const [leastS, mostS] = [0.6 * periodS, 1.65 * periodS];
    for (let h = i - 1; h >= 0; h--) {
      const spanS = this.#timeS[i]! - this.#timeS[h]!;
      if (spanS > LONGEST_STEP * mostS) break;
      if (this.#signs[h] !== this.sign) continue;
      for (let k = 1; k <= LONGEST_STEP; k++) {
        if (spanS < k * leastS || spanS > k * mostS) continue;
        const past = this.#state(h, i, k);
        const deviation = Math.log((periodS * k) / spanS);
        const cost = this.#cost[past]! + own + this.#unevenCost(deviation, this.#deviation[past]!);
        const favour = this.#length[state] === 2 ? 1 : 0; // a longer chain, before one that starts here
        if (cost >= this.#cost[state]! + favour) continue;
        this.#cost[state] = cost;
        this.#before[state] = past;
        this.#deviation[state] = deviation;
        this.#length[state] = this.#length[past]! + 1;
      }
    }
  }

  /** Odd-fire engines on a coil lead have long and short intervals in turn. */
  #unevenCost(deviation: number, lastDeviation: number): number {
    const even = timingCost(deviation / INTERVAL_SCATTER);
    if (this.limits.patternLength === 1 || this.limits.patternLength % 2 === 1) return even;
    return Math.min(even, 0.7 + timingCost((deviation + lastDeviation) / (1.5 * INTERVAL_SCATTER)));
  }

  /** Impulses left out between two others (-1: from the start; n: to the end), after the first one's tail. */
  #between(i: number, j: number, level: number, afterS: number): number {
    let cost = 0;
    for (let x = i + 1; x < j; x++) {
      if (this.#timeS[x]! < afterS) continue;
      const share = Math.exp(this.#logPeak[x]! - level);
      cost += leftOutCost(this.#signs[x] === this.sign ? share : share / 1.3);
    }
    return cost;
  }

  #endCost(j: number, periodS: number): number {
    const tail = this.#timeS[j]! + tailS(periodS, this.limits.repeatShare);
    const overdue = Math.max(0, Math.floor((this.nowS - this.#timeS[j]!) / periodS - 0.3));
    return this.#between(j, this.#n, this.#logPeak[j]!, tail) + overdue * MISS_COST;
  }

  #choose(
    ends: { cost: number; state: number; j: number; periodS: number }[],
  ): { cost: number; beat: Beat | null } | null {
    let best = ends[0];
    for (const end of ends) if (best && end.cost < best.cost) best = end;
    if (!best) return null;
    const beat = this.#trace(best.state, best.cost);
    let rival = Infinity;
    for (const end of ends)
      if (Math.abs(Math.log(end.periodS / best.periodS)) > 0.25) rival = Math.min(rival, end.cost);
    const n = beat.strikes.length;
    const believed = n >= FEWEST && best.cost < BELIEVED_COST * n + 1 && rival - best.cost > BELIEVED_LEAD;
    return { cost: best.cost, beat: believed ? beat : null };
  }

  #trace(state: number, cost: number): Beat {
    const strikes: number[] = [];
    const steps: number[] = [];
    for (let s = state; s !== -1; s = this.#before[s]!) {
      const pair = Math.floor(s / LONGEST_STEP);
      if (strikes.length === 0) strikes.push(pair % this.#n);
      steps.push((s % LONGEST_STEP) + 1);
      strikes.push(Math.floor(pair / this.#n));
    }
    strikes.reverse();
    steps.reverse();
    const intervals = steps.reduce((sum, step) => sum + step, 0);
    const spanS = this.#timeS[strikes[strikes.length - 1]!]! - this.#timeS[strikes[0]!]!;
    return {
      strikes: strikes.map((x) => this.strong[x]!),
      steps: [0, ...steps],
      sign: this.sign,
      periodS: spanS / intervals,
      cost,
    };
  }
}
