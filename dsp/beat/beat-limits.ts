/** What is known of a beat before it is found, and what is found: plain data, passed from the search to the tracker. */

export interface BeatLimits {
  readonly shortestS: number;
  readonly longestS: number;
  /** After so many strikes heights and intervals may repeat: 1 for one lead. */
  readonly patternLength: number;
  readonly repeatShare: number;
  /** Impulses of the other sign need no reason: a slow pulse has two edges. */
  readonly twoEdges: boolean;
  /** Sparks, whose place in the beat moves with the speed. */
  readonly advances?: boolean;
}

/** Whether other leads may be heard beside the clamped one: of a wasted spark's strikes every other one may be low by itself; a
 * coil lead and a crank sensor hear no other. */
export const hearsOthers = ({ patternLength, twoEdges }: BeatLimits): boolean =>
  patternLength === 1 && !twoEdges;

export interface Beat {
  /** Candidate numbers, oldest first. */
  readonly strikes: readonly number[];
  /** Intervals that lie between each strike and the one before it: 2 where one was missed. */
  readonly steps: readonly number[];
  readonly sign: 1 | -1;
  readonly periodS: number;
  /** Leads that were heard at even intervals: this beat is every so many-th of theirs. */
  readonly lead: number;
  /** Intervals by the mean one, natural logarithm, from the first strike on; null: even, or not known. */
  readonly pattern: readonly number[] | null;
  /** It comes in ones and twos between long cuts: how many intervals a cut takes is a guess. */
  readonly isCut: boolean;
}
