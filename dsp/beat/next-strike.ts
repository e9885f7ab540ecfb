/** What speaks for and against an impulse as a reading's next strike: where it lies in the beat, what it costs to leave it
 * out, what the strikes missed before it cost. Plain sums on a reading; nothing here chooses. */
import { KICK_S, KICK_SHARE, OTHER_SIGN, repeatsOverS, repeatsS, tailS } from './beat-costs';
import type { BeatLimits } from './beat-limits';
import { crowdCost, STRAY_TAIL_S, strayCost } from './beat-period';
import type { Candidates } from '../impulses/candidates';
import type { Reading } from './reading-of-beat';

const LONGEST_STEP = 30;
/** One interval that is too long is more usual than two that are too short by as much less, natural logarithm: engines slow
 * down, and strikes are seldom missing. */
const MISSING = 0.15;
/** One interval longer by so much, natural logarithm: engines catch at once, but do not slow down at once, and sound that is
 * lost makes intervals shorter. More likely a strike is missing, and a stray came later. */
const SLOWED = 0.2;
const SLOWED_COST = 4;
/** By the shortest mean interval there can be, one interval may come out shorter by so much. */
const FASTEST = 0.85;
const TOO_FAST_COST = 6;
/** What a cut costs by one missed strike, at first and while cuts go on, and each strike that it takes. */
const CUT_BEGINS = 2;
const CUT_AGAIN = 0.7;
const EACH_CUT = 0.08;
const MOST_MISSES = 4;
/** Strikes taken by one cut, and how long another is near. */
const FEWEST_MISSED = 3;
export const CUTS_FOR_S = 1;
/** Engines are cut when they race: then strikes come faster than this. Slower ones that are low are no cut. */
export const CUT_BELOW_S = 0.06;
const LONGER_THAN_LOST_S = 0.1;
/** While strikes are cut, the engine's speed changes by so much a second, relatively. */
const CUT_DRIFT = 0.25;
const FEWEST_CUT = 3;
/** Left out while strikes are cut, what only a strike can have made. */
const LONE_COST = 6;
/** Beyond this deviation, in intervals, nobody can tell how many strikes were cut. */
const UNCOUNTED = 0.3;
/** An impulse as tall as this by the strike just before it: more likely that was the strike and this repeats it. */
const REPEATED_SHARE = 0.3;
const REPEATED_COST = 2.2;
/** What comes closer to the next strike's time is that strike, though it come as soon as a kick. */
const BEFORE_DUE = 0.85;
/** What comes so near to that time, relatively, is the strike, though it come as close behind a kick as that kick's ringing. */
const DUE_WITHIN = 0.03;
/** What stands as near to a strike's time as this, in intervals, and is no lower, comes there by chance but once in many
 * hundred strikes: other leads fire further off, and so do their repeats. */
const JUST_DUE_WITHIN = 0.02;
const JUST_DUE_SHARE = 0.4;
const JUST_DUE_COST = 3;
/** The strike's ringing may lift its kick, but none is taller than its strike. */
const KICK_BY_LAST = 1;
const REPEATS_NO_SOONER_S = 0.6e-3;

/** Where an impulse lies in the beat: intervals since the last strike, and how far it is off, natural logarithm. */
export interface Lie {
  steps: number;
  deviation: number;
}

/** @param sinceS since the reading's last strike @param into the nearest number of intervals and the deviation from it */
export function lieAfter(reading: Reading, sinceS: number, into: Lie): void {
  into.steps = 1;
  into.deviation = Math.log(sinceS / reading.dueAfterS(1));
  for (let k = 2; k <= LONGEST_STEP && into.deviation > (k === 2 ? 0.2 : 0); k++) {
    const other = Math.log(sinceS / reading.dueAfterS(k));
    if (Math.abs(other) + (k === 2 ? MISSING : 0) > Math.abs(into.deviation)) return;
    into.deviation = other;
    into.steps = k;
  }
}

/** So many single misses cost as much as those within so many intervals: singly, or by one cut. */
export function missesOf(reading: Reading, steps: number): number {
  if (steps < 2) return 0;
  if (!mayCut(reading)) return Math.min(steps - 1, MOST_MISSES);
  const cuts = reading.lastS - reading.cutS < CUTS_FOR_S ? CUT_AGAIN : CUT_BEGINS;
  return Math.min(steps - 1, cuts + EACH_CUT * (steps - 1), MOST_MISSES);
}

const mayCut = ({ periodS, clear }: Reading): boolean => clear && periodS < CUT_BELOW_S;

/** What it costs besides that the engine would have slowed down within one interval. */
export const slowedCost = ({ clear }: Reading, { steps, deviation }: Lie): number =>
  clear && steps === 1 && deviation > SLOWED ? SLOWED_COST : 0;

/** What it costs besides that the engine would turn faster than any does. */
export const tooFastCost = (
  { clear, periodS }: Reading,
  { deviation }: Lie,
  { shortestS }: BeatLimits,
): number => (clear && periodS * Math.exp(deviation) < FASTEST * shortestS ? TOO_FAST_COST : 0);

/** Whether strikes are being cut, or seem to be. @param sinceS since the last strike */
const isCutting = (reading: Reading, sinceS: number): boolean =>
  mayCut(reading) &&
  (reading.lastS - reading.cutS < CUTS_FOR_S || sinceS > (FEWEST_MISSED + 0.5) * reading.periodS);

/** Whether so many intervals were a cut. */
export const isCut = (steps: number): boolean => steps > FEWEST_MISSED;

/** Relative deviation of a strike after a cut that is usual. @param scatter without a cut
 * @param agedS so long before the last strike the period was seen last, since cuts hid it */
export function cutScatter(scatter: number, steps: number, sinceS: number, agedS: number): number {
  const cut = steps < FEWEST_CUT || sinceS > steps * CUT_BELOW_S ? 0 : 1 - (FEWEST_CUT - 1) / steps;
  return Math.hypot(scatter, CUT_DRIFT * (sinceS * cut + agedS));
}

/** Whether nobody can tell how many strikes a cut took. */
export function isUncounted(steps: number, sinceS: number, agedS: number): boolean {
  return steps > 1 && cutScatter(0, steps, sinceS, agedS) * steps > UNCOUNTED;
}

/** Whether the engine may turn at another speed after such a cut: longer than sound is ever lost for. */
export function isSpeedUnknown(steps: number, sinceS: number): boolean {
  return isCut(steps) && sinceS > LONGER_THAN_LOST_S && sinceS < steps * CUT_BELOW_S;
}

/** Whether the next strike is due. @param sinceS since the last */
export const isDue = (reading: Reading, sinceS: number): boolean =>
  Math.abs(sinceS / reading.dueAfterS(1) - 1) < DUE_WITHIN;

/** Whether an impulse may be the last strike's kick. On a coil lead, which hears no other, one that swings the other way just
 * after a strike is its kick though it seems taller by what rings about it: strikes all swing the same way.
 * @param share its peak by a usual strike's @param byLast by that strike's own @param sameSign as a strike */
export function isKick(
  reading: Reading,
  timeS: number,
  share: number,
  byLast: number,
  sameSign: boolean,
  { repeatShare, patternLength }: BeatLimits,
): boolean {
  const isLow = share < KICK_SHARE || byLast < KICK_BY_LAST || (!sameSign && patternLength > 2);
  const { periodS } = reading;
  const untilS = Math.min(tailS(periodS, repeatShare, BEFORE_DUE), BEFORE_DUE * reading.dueAfterS(1));
  return isLow && timeS - reading.lastS < untilS;
}

/** What stands beside a lead's strikes. */
interface Beside {
  /** How far this lead repeats its strikes, 0 to 1. */
  readonly repeated: number;
  /** How tall other leads are by the strike. */
  readonly others: number;
}

/** What it costs to leave an impulse out. @param share its peak by the strike's @param echo it may be another's, or its kick
 * @param alike how many times less likely it has its shape by chance @param beside this lead's
 * neighbours */
export function leavingCost(
  reading: Reading,
  timeS: number,
  share: number,
  sameSign: boolean,
  echo: boolean,
  alike: number,
  beside: Beside,
  { repeatShare, twoEdges }: BeatLimits,
): number {
  const sinceS = timeS - reading.lastS;
  const { periodS } = reading;
  if (echo || sinceS < REPEATS_NO_SOONER_S) return 0;
  if (sinceS < repeatsS(periodS, repeatShare))
    return reading.clear && share > KICK_SHARE && sameSign ? (1 - beside.repeated) * REPEATED_COST : 0;
  if (sameSign)
    return (
      alike * strayCost(reading, timeS, share, beside.others) +
      Math.min(1, alike) * crowdCost(reading, timeS, share)
    );
  return strayCost(reading, timeS, share * (twoEdges ? 0 : OTHER_SIGN), beside.others);
}

/** What it costs besides to leave an impulse out that comes just when a strike is due, or one of those after it.
 * @param sinceS since the last strike @param share its peak by the strike's @param lie is overwritten */
export function dueCost(reading: Reading, sinceS: number, share: number, lie: Lie): number {
  const dueS = reading.dueAfterS(1);
  if (share < JUST_DUE_SHARE || dueS < KICK_S || sinceS < (1 - JUST_DUE_WITHIN) * dueS) return 0;
  lieAfter(reading, sinceS, lie);
  return lie.steps * Math.abs(lie.deviation) < JUST_DUE_WITHIN ? JUST_DUE_COST : 0;
}

/** Whether a strike was repeated: an impulse about as tall just after it, where boxes repeat strikes.
 * @param candidate the strike; what came within 3 % of an interval after it is known */
export function wasRepeated(
  all: Candidates,
  candidate: number,
  periodS: number,
  { repeatShare }: BeatLimits,
): boolean {
  const i = all.at(candidate);
  const untilS = all.timeS[i]! + repeatsOverS(periodS, repeatShare);
  for (let c = candidate + 1; c < all.end && all.timeS[all.at(c)]! < untilS; c++) {
    const j = all.at(c);
    const isApart = all.timeS[j]! - all.timeS[i]! > REPEATS_NO_SOONER_S;
    if (isApart && all.sign[j] === 1 && all.peak[j]! > REPEATED_SHARE * all.peak[i]!) return true;
  }
  return false;
}

/** What it costs to leave an impulse out that only a strike can have made, while strikes are cut; 0 else. */
export function loneCost(reading: Reading, timeS: number): number {
  const sinceS = timeS - reading.lastS;
  return sinceS >= STRAY_TAIL_S && isCutting(reading, sinceS) ? LONE_COST : 0;
}

/** What it costs that an impulse may repeat one just before it, where boxes repeat strikes.
 * @param logLevel usual height of a strike, natural logarithm */
export function repeatedCost(
  all: Candidates,
  candidate: number,
  reading: Reading,
  logLevel: number,
  { repeatShare }: BeatLimits,
): number {
  const overS = repeatsOverS(reading.periodS, repeatShare);
  if (overS === 0) return 0;
  const timeS = all.timeS[all.at(candidate)]!;
  const least = REPEATED_SHARE * Math.exp(logLevel);
  const sinceS = Math.max(timeS - overS, reading.lastS + overS);
  for (let c = candidate - 1; c >= all.first && all.timeS[all.at(c)]! > sinceS; c--) {
    const i = all.at(c);
    if (all.sign[i] === 1 && all.peak[i]! > least && timeS - all.timeS[i]! > REPEATS_NO_SOONER_S)
      return REPEATED_COST;
  }
  return 0;
}
