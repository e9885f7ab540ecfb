/** Whether a beat is one lead's, or several leads' at even intervals: heights of strikes in, every how many-th belongs
 * to the clamped lead out. The clamped lead is the tallest. */
import { middleOf } from '../quantile-of';
import { LEAST_HEIGHT_SCATTER, LeadHeights, MOST_LEADS } from '../beat/lead-heights';

/** The tallest other lead stays below 0.65 of the clamped one; natural logarithm, with room for another shape, which
 * makes the height seem another by a third. */
const LEAST_LEAD = 0.12;
/** A wasted spark's two strikes of a cycle differ by less. */
const WASTED_LEAD = 0.4;
/** Deviations by which the tallest must stand out to be believed, more for few strikes, and to be suspected. */
const BELIEVED = 3.5;
const BELIEVED_FEW = 8;
const SUSPECTED = 2.5;
const FEWEST_EACH = 3;
/** Where it stays unsure, the tallest is likely another lead's than the others by so much, natural logarithm: heights of one
 * lead's few strikes differ by less. */
const LIKELY_LEAD = 0.3;

/** The clamped lead is so much taller than any other, natural logarithm of 1 / 0.65; all within that are one lead's. */
const CLAMPED_OVER_OTHERS = 0.43;
const ALIKE_DEVIATIONS = 2.5;

/** So many strikes, and such a share, of one lead's seldom stand so far over their middle, natural logarithm and deviations;
 * of a normal distribution the median deviation is 1 / 1.4826 of the standard one. */
const TALL_OVER = 0.4;
const TALL_DEVIATIONS = 2.3;
const FEWEST_TALL = 2;
const TALL_SHARE = 0.05;
const TO_DEVIATION = 1.4826;

export interface LeadGuess {
  /** 1: all strikes are one lead's. */
  readonly every: number;
  /** Place of the first strike that belongs to it. */
  readonly first: number;
  readonly sure: boolean;
  /** Not sure, but more likely than that all strikes are one lead's. */
  readonly likely: boolean;
  /** Heights of one lead seldom differ so, however little. */
  readonly suspect: boolean;
}

/** @param logPeaks heights, natural logarithm @param places of the strikes in the beat, missed ones counted, from 0
 * @param patternLength strikes of the clamped lead after which its own heights may repeat */
export function oneLead(
  logPeaks: readonly number[],
  places: readonly number[],
  patternLength: number,
): LeadGuess {
  let guess: LeadGuess = { every: 1, first: 0, sure: true, likely: true, suspect: false };
  let clearest = SUSPECTED;
  for (let leads = 2; leads <= MOST_LEADS && FEWEST_EACH * leads <= logPeaks.length; leads++) {
    const stands = standsOut(logPeaks, places, leads, patternLength === 2);
    if (stands === null) continue;
    const { over, deviations, lead } = stands;
    const sure = deviations > BELIEVED + BELIEVED_FEW / Math.sqrt(logPeaks.length - leads);
    const isFiner = sure && guess.every > 1 && leads % guess.every === 0;
    if (deviations < clearest && !isFiner) continue;
    clearest = Math.max(clearest, deviations);
    const suspect = deviations > BELIEVED;
    guess = { every: leads, first: lead, sure, likely: suspect && over > LIKELY_LEAD, suspect };
  }
  return guess;
}

/** Whether so few strikes already show that they are one lead's: one of each of several leads' rounds would stand out.
 * @param logPeaks heights of strikes one after the other @param most leads that there can be */
export function cannotBeMore(logPeaks: readonly number[], most: number): boolean {
  if (logPeaks.length <= Math.min(most, MOST_LEADS)) return false;
  const [tallest, ...others] = [...logPeaks].sort((a, b) => b - a);
  const mean = others.reduce((sum, peak) => sum + peak, 0) / others.length;
  const square = others.reduce((sum, peak) => sum + (peak - mean) ** 2, 0) / Math.max(1, others.length - 1);
  return (
    tallest! - mean + ALIKE_DEVIATIONS * Math.max(LEAST_HEIGHT_SCATTER, Math.sqrt(square)) <
    CLAMPED_OVER_OTHERS
  );
}

/** Whether a few strikes stand over all others by more than those scatter: then they may be the clamped lead's among its
 * neighbours', though their places were miscounted. @param logPeaks heights, natural logarithm */
export function fewStandTall(logPeaks: readonly number[]): boolean {
  const middle = middleOf(logPeaks);
  const scatter = TO_DEVIATION * middleOf(logPeaks.map((peak) => Math.abs(peak - middle)));
  const least = middle + Math.max(TALL_OVER, TALL_DEVIATIONS * scatter);
  const tall = logPeaks.filter((peak) => peak > least).length;
  return tall >= FEWEST_TALL && tall > TALL_SHARE * logPeaks.length;
}

function standsOut(
  logPeaks: readonly number[],
  places: readonly number[],
  leads: number,
  wasted: boolean,
): { lead: number; over: number; deviations: number } | null {
  const heights = new LeadHeights();
  heights.look(logPeaks, places, logPeaks.length, leads);
  const { mean, count, tallest, over, deviations } = heights;
  if (count.subarray(0, leads).some((each) => each < FEWEST_EACH)) return null;
  const opposite = leads % 2 === 0 ? mean[(tallest + leads / 2) % leads]! : -Infinity;
  if (wasted && mean[tallest]! - opposite < WASTED_LEAD) return null;
  return over < LEAST_LEAD ? null : { lead: tallest, over, deviations };
}
