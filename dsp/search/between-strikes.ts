/** A beat's first strikes and what stands between them: how tall they are, and the tallest impulse that is none of them. Batch
 * work. */
import { tailS } from '../beat/beat-costs';
import type { Beat, BeatLimits } from '../beat/beat-limits';
import type { Candidates } from '../impulses/candidates';
import { middleOf } from '../quantile-of';
import { SWING_S } from './events';

/** So many of the beat's strikes tell. */
const TOLD_BY = 8;
/** What stands so little before a strike is its own start: its ringing may be taller. */
export const OWN_S = 0.6e-3;

/** A strike that stands over those by so much is no other lead's: they scatter. */
export const OVER_OTHERS = 1.3;

/** Whether a candidate is an impulse by itself, of the beat's sign. */
export const isOne = (all: Candidates, { sign }: Beat, candidate: number): boolean =>
  all.sign[all.at(candidate)] === sign && !all.isEcho(candidate, Infinity, SWING_S);

/** Usual peak of a beat's first strikes. */
export const usualPeak = (all: Candidates, { strikes }: Beat): number =>
  middleOf(strikes.slice(0, TOLD_BY).map((candidate) => all.peak[all.at(candidate)]!));

/** Peak of the tallest between the first strikes that follow straight after another, but for their kicks; 0 where none is. */
export function tallestBetween(all: Candidates, beat: Beat, { repeatShare }: BeatLimits): number {
  const { strikes, steps } = beat;
  const timeS = (candidate: number): number => all.timeS[all.at(candidate)]!;
  let tallest = 0;
  for (let k = 1; k < Math.min(TOLD_BY, strikes.length); k++) {
    if (steps[k]! > 1) continue; // a strike may stand between
    const [last, next] = [strikes[k - 1]!, strikes[k]!];
    const sinceS = timeS(last) + tailS(timeS(next) - timeS(last), repeatShare);
    for (let c = next - 1; c > last && timeS(c) > sinceS; c--)
      if (timeS(c) < timeS(next) - OWN_S && isOne(all, beat, c))
        tallest = Math.max(tallest, all.peak[all.at(c)]!);
  }
  return tallest;
}
