/** Follows a beat through impulses: candidates in order of time in, strikes out once no other reading of the impulses
 * is nearly as good. Keeps the best few readings side by side; allocates nothing while it follows. */
import { CLEARLY, LIVE, type Care, type Following } from './following';
import type { Beat, BeatLimits } from './beat-limits';
import { heightCost, timingCost } from './beat-costs';
import { isSilent, isStrained } from './giving-up';
import { followPeriod, JUMP_DEVIATIONS, learnBeat, scatterOf, STRAY_TAIL_S } from './beat-period';
import type { Candidates } from '../impulses/candidates';
import {
  cutScatter,
  dueCost,
  isCut,
  isDue,
  isKick,
  isUncounted,
  leavingCost,
  lieAfter,
  loneCost,
  missesOf,
  repeatedCost,
  slowedCost,
  tooFastCost,
} from './next-strike';
import { beginAmongNoise, followAmongNoise, halvePeriod, timeCostAmongNoise } from './period-among-noise';
import { heightCostAmongNoise } from './noise-costs';
import { Likeness } from './likeness';
import { Neighbours } from './neighbours';
import { makeTaken, type Decided, type Taken } from './taken';
import type { Reading } from './reading-of-beat';
import { ReadingSet } from './reading-set';
import { StrikeNodes } from './strike-nodes';

/** Nothing is decided sooner: what follows so closely may be the strike itself. */
const LEAST_WAIT_S = 3e-3;
const LEAST_SHARE = 0.18;
/** By the shortest interval there can be on the mean: firing may be uneven. */
const LEAST_INTERVAL = 0.4;
/** A kick or ringing taken for a strike. */
const ECHO_COST = 4;
/** No kick is taller by its strike, both by the learnt shape. */
const KICK_SHARE_BY_SHAPE = 0.92;
/** Below this interval the last strike's kick may stand just before the next strike. */
const FAST_S = 5e-3;
/** Among noise, what comes so many deviations off must stand so many times over it to be looked at. */
const UNDUE_DEVIATIONS = 3;
const UNDUE_OVER_NOISE = 3;
const UNDUE_SHORTEST = 0.9;
/** Clear of noise no strike strains a beat by more: strays come by the second, so a slow engine has one between many of its
 * strikes. */
const MOST_STRAIN = 4.5;

export class Tracker {
  readonly #nodes: StrikeNodes;
  readonly #readings: ReadingSet;
  #decidedNode = 0;
  #nowS = 0;
  readonly #likeness: Likeness;
  readonly #beside: Neighbours;
  #with: Following = CLEARLY;
  readonly #decided: Decided = { candidate: 0, steps: 0, slot: 0, place: 0, spent: 0 };
  readonly #how: Taken = makeTaken();

  constructor(
    private readonly all: Candidates,
    private readonly limits: BeatLimits,
    private readonly onStrike: (decided: Readonly<Decided>) => void,
    private readonly care: Care = LIVE,
  ) {
    this.#nodes = new StrikeNodes(care.nodes);
    this.#beside = new Neighbours(all, limits);
    this.#likeness = new Likeness(limits);
    this.#readings = new ReadingSet(care.readings, limits.patternLength);
  }

  get following(): boolean {
    return this.#readings.count > 0;
  }
  /** Mean interval of the best reading, seconds. */
  get periodS(): number {
    return this.#best.periodS;
  }

  /** Takes a beat up at its first strike, which is candidate 0; what comes after it must be fed again.
   * @param found what the beat was found in @param level usual height of its strikes
   * @param how strikes stand out */
  start(beat: Beat, found: Candidates, level: number, how: Following = CLEARLY): void {
    this.#with = how;
    const first = 0;
    const reading = this.#readings.only();
    this.#nowS = this.all.timeS[0]!;
    const clear = how === CLEARLY && !this.limits.twoEdges;
    this.#likeness.startAnew(clear);
    this.#beside.startAnew(clear, beat.isCut);
    reading.cost = reading.spent = reading.strain = reading.trend = reading.strayCost = 0;
    reading.strayS = reading.cutS = -Infinity;
    reading.slot = reading.taken = 0;
    reading.clear = clear;
    reading.amongNoise = how !== CLEARLY;
    reading.logLevel.fill(Math.log(level));
    reading.unevenness = learnBeat(reading, beat, found);
    if (reading.amongNoise) beginAmongNoise(reading, beat, found);
    reading.lastCandidate = first;
    reading.beforeLastCandidate = -1;
    reading.lastSteps = 0;
    reading.lastS = this.all.timeS[this.all.at(first)]!;
    this.#decidedNode = 0;
    reading.node = this.#nodes.add(first, 0, 0, 0);
  }

  /** The next candidate, in order of time. */
  take(candidate: number): void {
    const i = this.all.at(candidate);
    this.#nowS = this.all.timeS[i]!;
    const peak = this.all.peak[i]!;
    this.#readings.begin();
    const logPeak = Math.log(peak);
    for (let r = 0; r < this.#readings.count; r++) this.#branch(this.#readings.live[r]!, candidate, logPeak);
    this.#readings.swap(this.#due);
  }

  #branch(reading: Reading, candidate: number, logPeak: number): void {
    if (reading.amongNoise) return this.#branchAmongNoise(reading, candidate, logPeak);
    const i = this.all.at(candidate);
    const timeS = this.all.timeS[i]!;
    const sameSign = this.all.sign[i] === 1;
    const sinceS = timeS - reading.lastS;
    const soonS = Math.min(reading.periodS, reading.dueAfterS(1));
    const tall = reading.clear ? KICK_SHARE_BY_SHAPE : undefined;
    const fast = soonS < FAST_S;
    const follows =
      !(fast && isDue(reading, sinceS)) && this.all.isEcho(candidate, (fast ? 0.2 : 0.6) * soonS, 0, tall);
    const logLevel = reading.logLevel[(reading.slot + 1) % reading.logLevel.length]!;
    const share = Math.exp(logPeak - logLevel);
    const byLast = this.all.peak[i]! / this.all.peak[this.all.at(reading.lastCandidate)]!;
    const echo = follows || isKick(reading, timeS, share, byLast, sameSign, this.limits);
    const timeVar = this.all.timeVar[i]!;
    const alike = this.#likeness.alike(timeVar, share);
    const usual = leavingCost(reading, timeS, share, sameSign, echo, alike, this.#beside, this.limits);
    const lone = this.#beside.isAlone && sameSign && !echo && this.#likeness.isOne(timeVar, share);
    const due = reading.clear && sameSign && !echo ? dueCost(reading, sinceS, share, this.#how) : 0;
    const left = due + (lone ? Math.max(usual, loneCost(reading, timeS)) : usual);
    const kept = this.#readings.stay(reading, reading.cost + left);
    if (kept && left > 0) {
      kept.pay(left);
      kept.strayCost = timeS - kept.strayS < STRAY_TAIL_S ? kept.strayCost + left : left;
      kept.strayS = timeS;
    }
    if (!sameSign || share < LEAST_SHARE || sinceS < 0.3 * soonS) return;
    const early = reading.clear
      ? this.#beside.repeated * repeatedCost(this.all, candidate, reading, logLevel, this.limits)
      : 0;
    const other = (echo ? ECHO_COST : 0) + this.#likeness.unlikeCost(alike);
    this.#strike(reading, candidate, logPeak, sinceS, other, early);
  }

  /** Among noise all costs are by noise alone, so that an impulse left out that is not known costs nothing. */
  #branchAmongNoise(reading: Reading, candidate: number, logPeak: number): void {
    const { all } = this;
    const i = all.at(candidate);
    this.#readings.stay(reading, reading.cost + all.leftOutCost[i]!);
    const sinceS = all.timeS[i]! - reading.lastS;
    const dueS = reading.dueAfterS(1);
    if (all.sign[i] !== 1 || sinceS < 0.3 * Math.min(reading.periodS, dueS)) return;
    const how = this.#how;
    lieAfter(reading, sinceS, how);
    if (sinceS < LEAST_INTERVAL * how.steps * this.limits.shortestS) return;
    how.slot = (reading.slot + how.steps) % reading.logLevel.length;
    how.missed = this.#with.missCost * missesOf(reading, how.steps);
    how.excused = 0;
    how.jumped = how.uncounted = false;
    const level = Math.exp(reading.logLevel[how.slot]!);
    const common = how.missed + heightCostAmongNoise(all, candidate, level, dueS);
    how.cost = common + timeCostAmongNoise(reading, how, sinceS, all.timeVar[i]!);
    this.#take(reading, candidate, logPeak, how);
    how.cost = common + this.#with.jumpCost + Math.log(dueS); // anywhere in an interval
    how.jumped = true;
    this.#take(reading, candidate, logPeak, how);
  }

  #strike(
    reading: Reading,
    candidate: number,
    logPeak: number,
    sinceS: number,
    other: number,
    early: number,
  ): void {
    const how = this.#how;
    lieAfter(reading, sinceS, how);
    const { steps, deviation } = how;
    const i = this.all.at(candidate);
    if (sinceS < LEAST_INTERVAL * steps * this.limits.shortestS && !this.limits.twoEdges) return;
    const scatter = scatterOf(reading, this.#with.leastScatter, this.#with.mostScatter);
    const agedS = reading.clear ? Math.abs(reading.lastS - reading.knownS) : 0;
    const z = deviation / (reading.clear ? cutScatter(scatter, steps, sinceS, agedS) : scatter);
    if (!reading.clear && Math.abs(z) > UNDUE_DEVIATIONS && this.#isNoise(i, sinceS / steps)) return;
    const slot = (reading.slot + steps) % reading.logLevel.length;
    how.slot = slot;
    how.z = z;
    how.jumped = how.uncounted = reading.clear && isUncounted(steps, sinceS, agedS);
    how.missed = this.#with.missCost * missesOf(reading, steps);
    const common =
      other +
      early +
      slowedCost(reading, how) +
      tooFastCost(reading, how, this.limits) +
      Math.min(heightCost(Math.exp(logPeak - reading.logLevel[slot]!)), 0.3 + 25 * scatter) +
      how.missed;
    how.cost = common + timingCost(z);
    how.excused = early + Math.max(0, how.missed - this.#with.missCost);
    this.#take(reading, candidate, logPeak, how);
    if (Math.abs(z) <= JUMP_DEVIATIONS) return;
    how.cost = common + this.#with.jumpCost;
    how.jumped = true;
    how.uncounted = false;
    this.#take(reading, candidate, logPeak, how);
  }

  /** Whether what is not due may well be noise: low, or faster than any engine. */
  #isNoise(i: number, intervalS: number): boolean {
    return (
      this.all.peak[i]! < UNDUE_OVER_NOISE * this.all.noise[i]! ||
      intervalS < UNDUE_SHORTEST * this.limits.shortestS
    );
  }

  #take(reading: Reading, candidate: number, logPeak: number, how: Readonly<Taken>): void {
    const cost = reading.cost + how.cost;
    const taken = this.#readings.offer(
      reading,
      cost,
      candidate,
      how.jumped ? -2 : reading.lastCandidate,
      how.steps,
    );
    if (!taken) return;
    taken.pay(how.cost);
    taken.spent -= how.excused;
    taken.node = this.#nodes.nodeFor(candidate, reading.node, how.steps, how.slot, 2 * this.care.readings);
    taken.lastCandidate = candidate;
    taken.beforeLastCandidate = how.jumped ? -2 : reading.lastCandidate;
    taken.lastSteps = how.steps;
    taken.lastS = this.all.timeS[this.all.at(candidate)]!;
    this.#nodes.pay(taken.node, taken.spent);
    const spent = taken.clear ? Math.min(MOST_STRAIN, taken.spent) : taken.spent;
    taken.strain += 0.15 * (spent - taken.strain);
    taken.spent = 0;
    taken.taken++;
    if (isCut(how.steps)) taken.cutS = taken.lastS;
    const level = taken.logLevel;
    level[how.slot] =
      level[how.slot]! + this.#with.levelGain * Math.max(-1, Math.min(1, logPeak - level[how.slot]!));
    if (!how.uncounted) taken.knownS = taken.lastS;
    if (!how.jumped) this.#learn(taken, reading, how);
    taken.slot = how.slot;
  }

  /** @param taken a reading as it goes on @param reading as it was */
  #learn(taken: Reading, { lastS, knownS, slot }: Reading, how: Readonly<Taken>): void {
    const timeVar = this.all.timeVar[this.all.at(taken.lastCandidate)]!;
    if (taken.amongNoise) followAmongNoise(taken, slot, how, taken.lastS - lastS, timeVar);
    else followPeriod(taken, slot, how.steps, how.deviation, how.z, lastS - knownS > 0, this.limits.longestS);
  }

  /** Cost of the strikes that are overdue by now. */
  readonly #due = (reading: Reading): number => {
    const late =
      (this.#nowS - reading.lastS) / reading.periodS -
      3 * scatterOf(reading, this.#with.leastScatter, this.#with.mostScatter);
    return late < 1
      ? reading.cost
      : reading.cost + this.#with.missCost * missesOf(reading, 1 + Math.floor(late));
  };

  get #best(): Reading {
    return this.#readings.best(this.#due);
  }

  /** Decides what can be decided.
   * @param nowS up to when all candidates were taken @param all decides everything, since nothing more comes */
  decide(nowS: number, all = false): void {
    this.#nowS = Math.max(this.#nowS, nowS);
    while (this.#readings.count > 0 && this.#decideOne(all));
  }

  #decideOne(all: boolean): boolean {
    const best = this.#best;
    const node = this.#nodes.firstAfter(this.#decidedNode, best.node);
    if (node === 0) return false;
    const i = this.#nodes.at(node);
    const candidate = this.#nodes.candidate[i]!;
    const waitedS = this.#nowS - this.all.timeS[this.all.at(candidate)]!;
    if (!all && waitedS < LEAST_WAIT_S) return false;
    let rival = Infinity;
    for (let r = 0; r < this.#readings.count; r++) {
      const other = this.#readings.live[r]!;
      const theirs = this.#nodes.firstAfter(this.#decidedNode, other.node);
      if (theirs !== 0 && this.#nodes.candidate[this.#nodes.at(theirs)] === candidate) continue;
      rival = Math.min(rival, this.#due(other));
    }
    const longestS = this.care.waits * this.#with.longestWait * best.periodS;
    const mayWait = waitedS < longestS && !this.#nodes.isLong(this.#decidedNode);
    if (!all && mayWait && rival - this.#due(best) < this.care.decidedLead) return false;
    this.#settle(node, best);
    return true;
  }

  #settle(node: number, best: Reading): void {
    const i = this.#nodes.at(node);
    const told = this.#decided;
    told.candidate = this.#nodes.candidate[i]!;
    this.#likeness.take(this.all.timeVar[this.all.at(told.candidate)]!);
    this.#beside.take(told.candidate, best.periodS, Math.exp(best.logLevel[this.#nodes.slot[i]!]!));
    told.steps = this.#nodes.steps[i]!;
    told.slot = this.#nodes.slot[i]!;
    told.place = best.placeOf(told.slot);
    told.spent = this.#nodes.spent[i]!;
    this.#readings.keep((reading) => this.#nodes.firstAfter(this.#decidedNode, reading.node) === node);
    this.#decidedNode = node;
    this.onStrike(told);
  }

  /** Whether the beat is lost by now: no strike for long, or strikes that do not fit. Then nothing is followed. */
  giveUp(nowS: number): boolean {
    if (this.#readings.count === 0) return false;
    if (!this.isSilent(nowS) && !this.isStrained) return false;
    this.drop(nowS);
    return true;
  }
  isSilent(nowS: number): boolean {
    return isSilent(this.#best, nowS);
  }
  get isStrained(): boolean {
    return isStrained(this.#best);
  }

  /** Every other strike was followed. */
  halvePeriod(): void {
    for (let r = 0; r < this.#readings.count; r++) halvePeriod(this.#readings.live[r]!);
  }

  /** Decides all and follows nothing. */
  drop(nowS: number): void {
    this.decide(nowS, true);
    this.#readings.clear();
  }
}
