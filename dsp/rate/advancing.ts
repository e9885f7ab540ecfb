/** Sparks come the earlier in the beat the faster the engine goes: while the speed rises they follow each other a little
 * faster than it turns, while it falls a little slower. By how much is the distributor's, and not known here: what it may be
 * is a variance of the speed. Plain sums. */

/** How far a spark's place moves, in intervals for each hertz of their rate: 0.008 degrees for each turn a minute (weights that
 * swing from stop to stop, 15 to 25 degrees over 1000 to 2000 turns a minute, move it by twice as much, outside their range by
 * nothing; common practice) by 6, since an interval of D degrees is one of D/6 turns a minute at 1 Hz and D falls out.
 * @source worked out by hand */
const INTERVALS_PER_HZ = 0.008 / 6;

/** @param changeHzPerS of the strikes' rate @returns variance of the engine's rate by theirs, hertz squared */
export const advancingVar = (changeHzPerS: number): number => (INTERVALS_PER_HZ * changeHzPerS) ** 2;
