/** Sparks come the earlier in the beat the faster the engine goes: while the speed rises they follow each other a little
 * faster than it turns, while it falls a little slower. By how much is the distributor's, and not known here: what it may be
 * is a variance of the speed. Plain sums. */

/** How far a spark's place moves, crank degrees for each revolution a minute: weights that swing from stop to stop, 15 to 25
 * degrees over 1000 to 2000 rpm, move it by twice as much, outside their range by nothing. Common practice. */
const DEGREES_PER_RPM = 0.008;
/** An interval of D crank degrees is one of D/6 rpm at 1 Hz: in intervals for each hertz D falls out.
 * @source worked out by hand */
const INTERVALS_PER_HZ = DEGREES_PER_RPM / 6;

/** @param changeHzPerS of the strikes' rate @returns variance of the engine's rate by theirs, hertz squared */
export const advancingVar = (changeHzPerS: number): number => (INTERVALS_PER_HZ * changeHzPerS) ** 2;
