/** What the strikes so far may mean, as one hypothesis: a bank of models that has read each of them some way. Makes the next
 * one at a strike that is read a way; knows not how likely any is. Allocates nothing once made. */
import { RateBank } from './rate-bank';

/** What a strike off its time may mean: it is on time all the same; sound was lost before it; the engine is at another
 * speed at once; it goes half as fast; it went twice as fast from its first strike on, of which every other one was missing;
 * it is none, and tells nothing of the speed. */
export const ON_TIME = 0;
export const SLIPPED = 1;
export const CHANGED = 2;
export const HALVED = 3;
export const DOUBLED = 4;
export const STRAY = 5;
export const WAYS = 6;
export type Way =
  typeof ON_TIME | typeof SLIPPED | typeof CHANGED | typeof HALVED | typeof DOUBLED | typeof STRAY;

/** The longest block that is lost. */
export const LONGEST_SLIP_S = 0.05;
/** More than so many missed in a row are one cut; the engine's speed may change meanwhile by this share. */
export const MISSES_IN_A_CUT = 4;
const CHANGE_IN_A_CUT = 0.2;
/** A speed that is there at once is known so well by one interval, as a share. */
export const CHANGE_SD = 0.25;

export interface Hypothesis {
  readonly bank: RateBank;
  /** Natural logarithm of its likelihood by the best's. */
  logP: number;
  way: Way;
  /** The rate before this strike. */
  earlierHz: number;
  /** Since the last strike that it takes for one, up to the last, seconds: 0 where that is one. */
  strayS: number;
  /** The strike at which its rate changed at once, by number; 0: it did not. */
  since: number;
  /** How it reads the last strikes, by their number: the way, and intervals since the strike before. */
  readonly ways: Int8Array;
  readonly steps: Int32Array;
  /** Slips it holds that are not settled yet, and the time that slipped. */
  slips: number;
  slippedS: number;
}

/** How the last so many strikes are read can be asked for; a power of two. */
export const READ_BACK = 32;
/** That more than so many strikes in a row were each followed by a missing one is no chance; less than `READ_BACK`. */
const MOST_DOUBLED = 16;
const FEW = 8;
/** An engine is as restless as can be at so many times its lowest rate. */
const RESTLESS_BELOW = 4.5;

export const makeHypothesis = (longestS: number): Hypothesis => ({
  bank: new RateBank(longestS / RESTLESS_BELOW),
  logP: 0,
  earlierHz: 0,
  strayS: 0,
  since: 0,
  way: ON_TIME,
  ways: new Int8Array(READ_BACK),
  steps: new Int32Array(READ_BACK),
  slips: 0,
  slippedS: 0,
});

/** Time that vanished at least, seconds, where a strike comes so many intervals after the last and so long. */
export const slippedOf = (advance: number, dtS: number): number =>
  ((Math.ceil(advance) - advance) * dtS) / Math.max(advance, 0.05);

/** A strike as a hypothesis sees it. */
export interface Seen {
  /** Its number, and intervals and seconds since the last that the hypothesis takes for one. */
  number: number;
  intervals: number;
  dtS: number;
  timeVar: number;
}

/** @param from has predicted and compared the strike @param into becomes it, the strike read this way */
export function readOn(from: Hypothesis, into: Hypothesis, way: Way, seen: Seen): void {
  const { number, intervals, dtS, timeVar } = seen;
  const { bank } = into;
  bank.copy(from.bank);
  into.way = way;
  into.earlierHz = from.bank.rateHz;
  into.since = way === CHANGED ? number : from.since;
  into.ways.set(from.ways);
  into.steps.set(from.steps);
  into.ways[number & (READ_BACK - 1)] = way === DOUBLED ? ON_TIME : way;
  into.steps[number & (READ_BACK - 1)] = way === STRAY ? 0 : intervals;
  into.strayS = way === STRAY ? dtS : 0;
  into.slips = from.slips;
  into.slippedS = from.slippedS;
  if (way === CHANGED) bank.restart(dtS, from.bank.rateHz, CHANGE_SD, timeVar);
  else if (way === SLIPPED) slip(into, seen);
  else if (way === DOUBLED) double(into, seen);
  else if (way !== STRAY) bank.update(intervals, timeVar);
  if (way === HALVED) {
    bank.rescale(0.5);
    readHalved(into, number);
  }
}

/** Halfway between two of its places, in intervals: the nearest to where a strike came that is predicted. */
export const halfwayIn = ({ bank }: Hypothesis): number => Math.max(0, Math.round(bank.advance - 0.5)) + 0.5;

/** Whether a hypothesis reads its few strikes so far, from the first on, as on time: then they may be every other one. */
export function mayBeDoubled({ ways }: Hypothesis, number: number): boolean {
  if (number < 2 || number > MOST_DOUBLED) return false;
  for (let i = 1; i < number; i++) if (ways[i] !== ON_TIME) return false;
  return true;
}

/** Whether a hypothesis has its rate of a few strikes only, since it changed at once. */
export const isOfFew = ({ since }: Hypothesis, number: number): boolean => since > 0 && number - since <= FEW;

/** All strikes before this one are twice as many intervals apart. */
function double(into: Hypothesis, { number, timeVar }: Seen): void {
  const { bank, steps } = into;
  const halfway = halfwayIn(into);
  bank.compare(halfway, timeVar);
  bank.update(halfway, timeVar);
  bank.rescale(2);
  for (let i = 1; i < number; i++) steps[i]! *= 2;
  steps[number] = 2 * halfway;
  into.way = ON_TIME;
  into.earlierHz *= 2;
}

function slip(into: Hypothesis, { intervals, dtS, timeVar }: Seen): void {
  const slipS = slippedOf(into.bank.advance, dtS);
  if (slipS < 2 * LONGEST_SLIP_S) {
    into.slips++;
    into.slippedS += slipS;
  }
  const loosenedBy = intervals > MISSES_IN_A_CUT ? CHANGE_IN_A_CUT : 0;
  into.bank.anchor(timeVar, loosenedBy, Math.min(slipS, LONGEST_SLIP_S));
}

/** All strikes in a row up to this one that were read as two intervals are one each: it went half as fast from the first
 * of them on. */
function readHalved({ ways, steps }: Hypothesis, number: number): void {
  const most = Math.min(READ_BACK, number);
  for (let back = 0; back < most; back++) {
    const at = (number - back) & (READ_BACK - 1);
    if (steps[at] !== 2 || (back > 0 && ways[at] !== ON_TIME)) return;
    if (back > 0) ways[(at + 1) & (READ_BACK - 1)] = ON_TIME;
    steps[at] = 1;
    ways[at] = HALVED;
  }
}
