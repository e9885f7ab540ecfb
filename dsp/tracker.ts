/** Follows a beat through impulses: candidates in order of time in, strikes out once no other reading of the impulses
 * is nearly as good. Keeps the best few readings side by side; allocates nothing while it follows. */
import { CLEARLY, type Following } from './following';
import type { Beat, BeatLimits } from './beat-limits';
import { heightCost, KICK_SHARE, OTHER_SIGN, repeatsS, tailS, timingCost } from './beat-costs';
import {
  followPeriod,
  crowdCost,
  JUMP_DEVIATIONS,
  learnBeat,
  scatterOf,
  STRAY_TAIL_S,
  strayCost,
} from './beat-period';
import type { Candidates } from './candidates';
import { Reading, StrikeNodes } from './reading-of-beat';

/** What is told of a strike when it is decided. */
export interface Decided {
  candidate: number;
  /** Intervals since the strike before; 0 for the first. */
  steps: number;
  /** How far it stands from an even beat because firing is uneven, in mean intervals. */
  place: number;
}

/** How a reading takes a candidate for its next strike. */
interface Taken {
  steps: number;
  slot: number;
  deviation: number;
  z: number;
  cost: number;
  jumped: boolean;
}

const READINGS = 14;
/** A reading that costs so much more than the best is dropped. */
const HOPELESS = 14;
/** A strike is decided when every reading without it costs so much more. */
const DECIDED_LEAD = 4.5;
/** Nothing is decided sooner: what follows so closely may be the strike itself. */
const LEAST_WAIT_S = 3e-3;
const LONGEST_STEP = 12;
const LEAST_SHARE = 0.18;
/** By the shortest interval there can be on the mean: firing may be uneven. */
const LEAST_INTERVAL = 0.4;
/** A kick or ringing taken for a strike. */
const ECHO_COST = 4;
/** Below this interval the last strike's kick may stand just before the next strike. */
const FAST_S = 5e-3;
const LOST_STRAIN = 2.7;
const LOST_INTERVALS = 14;

export class Tracker {
  readonly #nodes = new StrikeNodes();
  #live: Reading[];
  #next: Reading[];
  #liveCount = 0;
  #nextCount = 0;
  #decidedNode = 0;
  #nowS = 0;
  #with: Following = CLEARLY;
  readonly #decided: Decided = { candidate: 0, steps: 0, place: 0 };
  readonly #how: Taken = { steps: 1, slot: 0, deviation: 0, z: 0, cost: 0, jumped: false };

  constructor(
    private readonly all: Candidates,
    private readonly limits: BeatLimits,
    private readonly onStrike: (decided: Readonly<Decided>) => void,
  ) {
    const make = (): Reading => new Reading(limits.patternLength);
    this.#live = Array.from({ length: READINGS }, make);
    this.#next = Array.from({ length: READINGS }, make);
  }

  get following(): boolean {
    return this.#liveCount > 0;
  }
  /** Mean interval of the best reading, seconds. */
  get periodS(): number {
    return this.#live[this.#best()]!.periodS;
  }
  /** Time of the best reading's last strike. */
  get lastS(): number {
    return this.#live[this.#best()]!.lastS;
  }

  /** Takes a beat up at its first strike, which is candidate 0; what comes after it must be fed again.
   * @param found what the beat was found in @param level usual height of its strikes
   * @param how strikes stand out */
  start(beat: Beat, found: Candidates, level: number, how: Following = CLEARLY): void {
    this.#with = how;
    const first = 0;
    const reading = this.#live[0]!;
    this.#nowS = this.all.timeS[0]!;
    this.#liveCount = 1;
    reading.cost = reading.spent = reading.strain = reading.trend = reading.strayCost = 0;
    reading.strayS = -Infinity;
    reading.slot = reading.taken = 0;
    reading.logLevel.fill(Math.log(level));
    reading.unevenness = learnBeat(reading, beat, found);
    reading.lastCandidate = first;
    reading.beforeLastCandidate = -1;
    reading.lastS = this.all.timeS[this.all.at(first)]!;
    this.#decidedNode = 0;
    reading.node = this.#nodes.add(first, 0, 0, 0);
  }

  /** The next candidate, in order of time. */
  take(candidate: number): void {
    const i = this.all.at(candidate);
    this.#nowS = this.all.timeS[i]!;
    const peak = this.all.peak[i]!;
    this.#nextCount = 0;
    const logPeak = Math.log(peak);
    for (let r = 0; r < this.#liveCount; r++) this.#branch(this.#live[r]!, candidate, logPeak);
    this.#swap();
  }

  #branch(reading: Reading, candidate: number, logPeak: number): void {
    const i = this.all.at(candidate);
    const timeS = this.all.timeS[i]!;
    const sameSign = this.all.sign[i] === 1;
    const pattern = reading.logLevel.length;
    const sinceS = timeS - reading.lastS;
    const periodS = reading.periodS;
    const soonS = Math.min(periodS, reading.dueAfterS(1));
    const echo = this.#with.echoes && this.all.isEcho(candidate, (soonS < FAST_S ? 0.2 : 0.6) * soonS);
    const share = Math.exp(logPeak - reading.logLevel[(reading.slot + 1) % pattern]!);
    const { repeatShare } = this.limits;
    const repeats = echo || sinceS < repeatsS(periodS, repeatShare);
    const kicks = share < KICK_SHARE && sinceS < tailS(periodS, repeatShare);
    const otherSign = this.limits.twoEdges ? 0 : OTHER_SIGN;
    const left =
      repeats || kicks
        ? 0
        : strayCost(reading, timeS, sameSign ? share : share * otherSign) +
          (sameSign ? crowdCost(reading, timeS, share) : 0);
    const kept = this.#offer(
      reading,
      reading.cost + left,
      reading.lastCandidate,
      reading.beforeLastCandidate,
    );
    if (kept && left > 0) {
      kept.pay(left);
      kept.strayCost = timeS - kept.strayS < STRAY_TAIL_S ? kept.strayCost + left : left;
      kept.strayS = timeS;
    }
    if (!sameSign || share < LEAST_SHARE || sinceS < 0.3 * soonS) return;
    this.#strike(reading, candidate, logPeak, sinceS, echo ? ECHO_COST : 0);
  }

  #strike(reading: Reading, candidate: number, logPeak: number, sinceS: number, echo: number): void {
    let steps = 1;
    let deviation = Math.log(sinceS / reading.dueAfterS(1));
    for (let k = 2; k <= LONGEST_STEP && deviation > (k === 2 ? 0.2 : 0); k++) {
      const other = Math.log(sinceS / reading.dueAfterS(k));
      if (Math.abs(other) > Math.abs(deviation)) break;
      deviation = other;
      steps = k;
    }
    if (sinceS < LEAST_INTERVAL * steps * this.limits.shortestS && !this.limits.twoEdges) return;
    const scatter = scatterOf(reading, this.#with.leastScatter, this.#with.mostScatter);
    const z = deviation / scatter;
    const slot = (reading.slot + steps) % reading.logLevel.length;
    const how = this.#how;
    how.steps = steps;
    how.slot = slot;
    how.deviation = deviation;
    how.z = z;
    how.jumped = false;
    const common =
      echo +
      Math.min(heightCost(Math.exp(logPeak - reading.logLevel[slot]!)), 0.3 + 25 * scatter) +
      this.#with.missCost * Math.min(4, steps - 1);
    how.cost = common + timingCost(z);
    this.#take(reading, candidate, logPeak, how);
    if (Math.abs(z) <= JUMP_DEVIATIONS) return;
    how.cost = common + this.#with.jumpCost;
    how.jumped = true;
    this.#take(reading, candidate, logPeak, how);
  }

  #take(reading: Reading, candidate: number, logPeak: number, how: Readonly<Taken>): void {
    const cost = reading.cost + how.cost;
    const taken = this.#offer(reading, cost, candidate, how.jumped ? -2 : reading.lastCandidate);
    if (!taken) return;
    taken.pay(how.cost);
    taken.node = this.#nodeFor(candidate, reading.node, how.steps, how.slot);
    taken.lastCandidate = candidate;
    taken.beforeLastCandidate = how.jumped ? -2 : reading.lastCandidate;
    taken.lastS = this.all.timeS[this.all.at(candidate)]!;
    taken.strain += 0.15 * (taken.spent - taken.strain);
    taken.spent = 0;
    taken.taken++;
    const level = taken.logLevel;
    level[how.slot] =
      level[how.slot]! + this.#with.levelGain * Math.max(-1, Math.min(1, logPeak - level[how.slot]!));
    if (!how.jumped) followPeriod(taken, reading.slot, how.steps, how.deviation, how.z);
    taken.slot = how.slot;
  }

  /** One node for one strike after another, whichever reading takes it. */
  #nodeFor(candidate: number, before: number, steps: number, slot: number): number {
    for (let node = this.#nodes.next - 1; node > 0 && node > this.#nodes.next - 2 * READINGS; node--) {
      const i = this.#nodes.at(node);
      if (this.#nodes.candidate[i] !== candidate) break;
      if (this.#nodes.before[i] === before && this.#nodes.steps[i] === steps) return node;
    }
    return this.#nodes.add(candidate, before, steps, slot);
  }

  /** A place for a reading among the next, its parent copied into it; null if it is not good enough. */
  #offer(parent: Reading, cost: number, last: number, beforeLast: number): Reading | null {
    let place = -1;
    let worst = -1;
    for (let r = 0; r < this.#nextCount; r++) {
      const other = this.#next[r]!;
      if (other.lastCandidate === last && other.beforeLastCandidate === beforeLast) {
        if (other.cost <= cost) return null;
        place = r;
        break;
      }
      if (worst === -1 || other.cost > this.#next[worst]!.cost) worst = r;
    }
    if (place === -1) {
      if (this.#nextCount < READINGS) place = this.#nextCount++;
      else if (this.#next[worst]!.cost > cost) place = worst;
      else return null;
    }
    const made = this.#next[place]!;
    made.copy(parent);
    return made;
  }

  /** Cost of the strikes that are overdue by now. */
  #due(reading: Reading): number {
    const late =
      (this.#nowS - reading.lastS) / reading.periodS -
      3 * scatterOf(reading, this.#with.leastScatter, this.#with.mostScatter);
    return late < 1 ? reading.cost : reading.cost + this.#with.missCost * Math.min(4, Math.floor(late));
  }

  #best(): number {
    let best = 0;
    for (let r = 1; r < this.#liveCount; r++)
      if (this.#due(this.#live[r]!) < this.#due(this.#live[best]!)) best = r;
    return best;
  }

  #swap(): void {
    const old = this.#live;
    this.#live = this.#next;
    this.#next = old;
    this.#liveCount = this.#nextCount;
    const best = this.#due(this.#live[this.#best()]!);
    this.#keep((reading) => this.#due(reading) <= best + HOPELESS);
    const base = this.#live[this.#best()]!.cost;
    for (let r = 0; r < this.#liveCount; r++) this.#live[r]!.cost -= base;
  }

  #keep(wanted: (reading: Reading) => boolean): void {
    let kept = 0;
    for (let r = 0; r < this.#liveCount; r++) {
      const reading = this.#live[r]!;
      if (!wanted(reading)) continue;
      this.#live[r] = this.#live[kept]!;
      this.#live[kept++] = reading;
    }
    this.#liveCount = kept;
  }

  /** Decides what can be decided.
   * @param nowS up to when all candidates were taken @param all decides everything, since nothing more comes */
  decide(nowS: number, all = false): void {
    this.#nowS = Math.max(this.#nowS, nowS);
    while (this.#liveCount > 0 && this.#decideOne(all));
  }

  #oldest(reading: Reading): number {
    let node = reading.node;
    if (node === this.#decidedNode) return 0;
    for (;;) {
      const before = this.#nodes.before[this.#nodes.at(node)]!;
      if (before === this.#decidedNode) return node;
      node = before;
    }
  }

  #decideOne(all: boolean): boolean {
    const best = this.#live[this.#best()]!;
    const node = this.#oldest(best);
    if (node === 0) return false;
    const i = this.#nodes.at(node);
    const candidate = this.#nodes.candidate[i]!;
    const waitedS = this.#nowS - this.all.timeS[this.all.at(candidate)]!;
    if (!all && waitedS < LEAST_WAIT_S) return false;
    let rival = Infinity;
    for (let r = 0; r < this.#liveCount; r++) {
      const other = this.#live[r]!;
      const theirs = this.#oldest(other);
      if (theirs !== 0 && this.#nodes.candidate[this.#nodes.at(theirs)] === candidate) continue;
      rival = Math.min(rival, this.#due(other));
    }
    if (!all && rival - this.#due(best) < DECIDED_LEAD && waitedS < this.#with.longestWait * best.periodS)
      return false;
    this.#settle(node, best);
    return true;
  }

  #settle(node: number, best: Reading): void {
    const i = this.#nodes.at(node);
    const told = this.#decided;
    told.candidate = this.#nodes.candidate[i]!;
    told.steps = this.#nodes.steps[i]!;
    told.place = best.placeOf(this.#nodes.slot[i]!);
    this.#keep((reading) => this.#oldest(reading) === node);
    this.#decidedNode = node;
    this.onStrike(told);
  }

  /** Whether the beat is lost by now: no strike for long, or strikes that do not fit. Then nothing is followed. */
  giveUp(nowS: number): boolean {
    if (this.#liveCount === 0) return false;
    const best = this.#live[this.#best()]!;
    const silentS = Math.min(2.5, Math.max(0.3, LOST_INTERVALS * best.periodS));
    if (nowS - best.lastS < silentS && best.strain < LOST_STRAIN) return false;
    this.decide(nowS, true);
    this.#liveCount = 0;
    return true;
  }
}
