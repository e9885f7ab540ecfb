/** Dwell from a coil lead's sound: where points close on the way from strike to strike in, distributor degrees and per
 * cent with their deviation out, or why there is none. */
import type { Closing, NoClosingReason } from '../dsp/closing/closing';
import { dwellPercent, firingIntervalDeg } from './points';

export interface Dwell {
  /** Distributor degrees, the mean over the lobes, and its standard deviation. */
  readonly deg: number;
  readonly degSd: number;
  /** Of the interval from spark to spark, and the standard deviation of that. */
  readonly percent: number;
  readonly percentSd: number;
  /** Standard deviation from spark to spark, distributor degrees: lobes and shaft. */
  readonly scatterDeg: number;
  /** Intervals that it rests on. */
  readonly intervals: number;
}

export interface DwellSeen {
  /** null where the sound does not carry it, and why. */
  readonly dwell: Dwell | null;
  readonly reason: NoClosingReason | null;
}

/** @param closing where an impulse keeps to its share of the way, as the chain tells; null: none is looked for
 * @returns null where none is looked for: the clamp does not sit on the coil lead
 * @throws RangeError if cylinders is not a whole number from 1 to 24
 * @source Common practice: dwell is the share of a firing interval that the points are closed, in distributor degrees of
 * 360 / cylinders; points open with the spark, so what is left of the interval after they close is dwell */
export function dwellSeen(closing: Closing | null, cylinders: number): DwellSeen | null {
  if (!closing) return null;
  const { place, reason } = closing;
  if (!place) return { dwell: null, reason };
  const interval = firingIntervalDeg(cylinders);
  const [deg, degSd] = [(1 - place.share) * interval, place.shareSd * interval];
  const dwell: Dwell = {
    deg,
    degSd,
    percent: dwellPercent(deg, cylinders),
    percentSd: dwellPercent(degSd, cylinders),
    scatterDeg: place.scatter * interval,
    intervals: place.intervals,
  };
  return { dwell, reason: null };
}
