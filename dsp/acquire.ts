/** Finds a beat among impulses: the candidates of the last moments in, the chain of strikes that explains them best
 * out, or none. Batch work, done only while no beat is followed. */
import { KICK_S, KICK_SHARE, leftOutCost, MISS_COST, tailS, timingCost, unlikeCost } from './beat-costs';
import type { Candidates } from './candidates';
import { oneLead } from './one-lead';

export interface BeatLimits {
  readonly shortestS: number;
  readonly longestS: number;
  /** After so many strikes heights and intervals may repeat: 1 for one lead. */
  readonly patternLength: number;
  readonly repeatShare: number;
  /** Impulses of the other sign need no reason: a slow pulse has two edges. */
  readonly twoEdges: boolean;
}

export interface Beat {
  /** Candidate numbers, oldest first. */
  readonly strikes: readonly number[];
  /** Intervals that lie between each strike and the one before it: 2 where one was missed. */
  readonly steps: readonly number[];
  readonly sign: number;
  readonly periodS: number;
  readonly cost: number;
  /** Leads that were heard at even intervals: this beat is every so many-th of theirs. */
  readonly lead: number;
}

/** So many impulses are looked at: enough for six turns of eight leads. */
const MOST = 96;
/** Impulses beside others so much taller are no strikes of the clamped lead. */
const STRONG_SHARE = 0.4;
const STRONG_REACH_S = 0.15;
/** Relative deviation of one interval from the one before it that is usual. */
const INTERVAL_SCATTER = 0.06;
/** An impulse of the other sign is taken for so much less: a strike swings back. */
export const OTHER_SIGN = 0.75;
const LONGEST_STEP = 2;
const FEWEST = 5;
/** What a strike in its place is worth: less than two strikes of unlike height cost. */
const WORTH = 0.9;
/** Mean cost of a strike, and lead over a beat of another period, that make a beat believed. */
const BELIEVED_COST = 1.3;
const BELIEVED_LEAD = 4;
/** One lead's beat is believed once it has run so long: the other leads' strikes may come at even intervals too. */
const RUNS_FOR_S = 0.7;
/** So long one waits to see which of several leads is the clamped one. */
const UNSURE_FOR_S = 4;

/** @param from oldest candidate to look at @param nowS up to when the signal is known
 * @returns the beat, or null where none is believed yet */
export function findBeat(
  all: Candidates,
  from: number,
  nowS: number,
  limits: BeatLimits,
  last: boolean,
): Beat | null {
  const strong = strongOnes(all, Math.max(from, all.first), limits);
  if (strong.length < FEWEST) return null;
  const chains = [1, -1].map((sign) => new ChainSearch(all, strong, sign, nowS, limits).run(last));
  const found = chains.filter((chain) => chain !== null).sort((a, b) => a.cost - b.cost);
  const best = found[0];
  if (!best || best.beat === null) return null;
  return extendBack(all, best.beat, Math.max(from, all.first));
}

/** Numbers of the candidates that are not dwarfed by a neighbour and not its kick, at most the last `MOST`. */
function strongOnes(all: Candidates, from: number, limits: BeatLimits): number[] {
  const floor = new Float64Array(Math.max(0, all.end - from));
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
  const tail = (limits.shortestS < 3e-3 ? 0.2 : 0.6) * limits.shortestS;
  for (let c = all.end - 1; c >= from && strong.length < MOST; c--)
    if (all.peak[all.at(c)]! >= STRONG_SHARE * floor[c - from]! && !all.isEcho(c, tail)) strong.push(c);
  return strong.reverse();
}

/** Goes on backwards from a beat's first strike, evenly, over up to two missed at a time: a stray may have hidden the
 * true start. */
function extendBack(all: Candidates, beat: Beat, from: number): Beat {
  const strikes = [...beat.strikes];
  const steps = [...beat.steps];
  const timeOf = (c: number): number => all.timeS[all.at(c)]!;
  const early = Math.min(4, strikes.length - 1);
  const intervals = steps.slice(1, early + 1).reduce((sum, step) => sum + step, 0);
  let periodS = (timeOf(strikes[early]!) - timeOf(strikes[0]!)) / intervals;
  for (;;) {
    const found = strikeBefore(all, strikes[0]!, from, periodS, beat.sign);
    if (!found) return { ...beat, strikes, steps };
    const interval = (timeOf(strikes[0]!) - timeOf(found.candidate)) / found.steps;
    periodS += 0.5 * (interval - periodS);
    strikes.unshift(found.candidate);
    steps.splice(0, 1, 0, found.steps);
  }
}

const BACK_SCATTER = 0.03;
const BACK_COST = 5;

function strikeBefore(
  all: Candidates,
  first: number,
  from: number,
  periodS: number,
  sign: number,
): { candidate: number; steps: number } | null {
  const [firstS, level] = [all.timeS[all.at(first)]!, all.peak[all.at(first)]!];
  let best: { candidate: number; steps: number } | null = null;
  let bestCost = BACK_COST;
  for (let c = first - 1; c >= from; c--) {
    const i = all.at(c);
    const intervals = (firstS - all.timeS[i]!) / periodS;
    if (intervals > 3.2) break;
    const steps = Math.max(1, Math.round(intervals));
    const share = all.peak[i]! / level;
    if (all.sign[i] !== sign || share < 0.3 || all.isEcho(c, 0.6 * periodS)) continue;
    const z = (intervals / steps - 1) / BACK_SCATTER;
    const cost = timingCost(z) + unlikeCost(Math.log(share), 1) + (steps - 1) * MISS_COST;
    if (cost < bestCost) [best, bestCost] = [{ candidate: c, steps }, cost];
  }
  return best;
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

  run(last: boolean): { cost: number; beat: Beat | null } | null {
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
    return this.#choose(ends, last);
  }

  #reach(i: number, j: number, step: number, periodS: number): void {
    const level = (this.#logPeak[i]! + this.#logPeak[j]!) / 2;
    const looseness = this.limits.patternLength > 1 ? 2 : 1;
    const own =
      -WORTH +
      unlikeCost(this.#logPeak[j]! - this.#logPeak[i]!, looseness) +
      (step - 1) * MISS_COST +
      this.#between(i, j, level, this.#timeS[i]! + tailS(periodS, this.limits.repeatShare));
    const state = this.#state(i, j, step);
    this.#cost[state] = own - WORTH + this.#between(-1, i, level, -Infinity);
    this.#length[state] = 2;
    const spread = this.limits.patternLength % 2 === 0 ? 2 : 1.65;
    const [leastS, mostS] = [periodS / spread, spread * periodS];
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
      if (share < KICK_SHARE && i >= 0 && this.#timeS[x]! < this.#timeS[i]! + KICK_S) continue;
      cost += leftOutCost(
        this.#signs[x] === this.sign ? share : share * (this.limits.twoEdges ? 0 : OTHER_SIGN),
      );
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
    last: boolean,
  ): { cost: number; beat: Beat | null } | null {
    let best = ends[0];
    for (const end of ends) if (best && end.cost < best.cost) best = end;
    if (!best) return null;
    const beat = this.#oneLead(this.#trace(best.state, best.cost));
    if (!beat) return { cost: best.cost, beat: null };
    let rival = Infinity;
    const same = this.limits.patternLength > 1 ? 0.6 : 0.25; // long and short intervals are one beat
    for (const end of ends)
      if (Math.abs(Math.log(end.periodS / best.periodS)) > same) rival = Math.min(rival, end.cost);
    const n = beat.strikes.length * beat.lead;
    const believed =
      n >= (beat.lead > 1 ? 2 : FEWEST) &&
      best.cost < (BELIEVED_COST - WORTH) * n + 1 &&
      rival - best.cost > BELIEVED_LEAD &&
      (last || this.#runsLong(beat));
    return { cost: best.cost, beat: believed ? beat : null };
  }

  /** The beat of the clamped lead alone; null while it is not clear which strikes are its. */
  #oneLead(beat: Beat): Beat | null {
    if (this.limits.patternLength > 2) return beat; // a coil lead hears no other
    let place = 0;
    const places = beat.steps.map((step) => (place += step));
    const guess = oneLead(
      beat.strikes.map((c) => this.#logPeak[this.strong.indexOf(c)]!),
      places,
    );
    if (guess.every === 1) return beat;
    if (!guess.sure && this.nowS - this.#timeS[0]! < UNSURE_FOR_S) return null;
    const own = beat.strikes.map((_, i) => i).filter((i) => places[i]! % guess.every === guess.first);
    const steps = own.map((i, k) => (k === 0 ? 0 : (places[i]! - places[own[k - 1]!]!) / guess.every));
    const strikes = own.map((i) => beat.strikes[i]!);
    return { ...beat, strikes, steps, periodS: beat.periodS * guess.every, lead: guess.every };
  }

  #runsLong({ strikes, periodS }: Beat): boolean {
    const enough = this.limits.patternLength > 1 ? 2 * this.limits.patternLength : MOST / 2;
    return strikes.length >= enough || strikes.length * periodS >= RUNS_FOR_S;
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
      lead: 1,
    };
  }
}
