/** What a page draws of the strikes: the learnt shape and counts in, plain figures out. */
import { timingBound } from '../shape/bound';
import type { StrikeShape } from '../shape/shape';
import { FINE } from '../shape/shape-tables';
import type { RecentStrikes } from './recent-strikes';
import type { SignalPicture } from '../strike-chain';

/** Points that the shape holds before its compared stretch, samples. */
const SPARE = 2;

export function pictureOf(
  shape: StrikeShape,
  sampleRateHz: number,
  counts: {
    readonly strikes: number;
    readonly missed: number;
    readonly setAside: number;
    readonly recent: RecentStrikes;
  },
): SignalPicture {
  const { points, restShare, scatter } = shape;
  const { strikes, missed, setAside, recent } = counts;
  return {
    shape: points,
    pointsPerS: FINE * sampleRateHz,
    alignedAtS: (shape.before + SPARE) / sampleRateHz,
    restShare,
    scatter,
    timingS: timingBound(points, FINE, Math.max(1e-9, restShare)) / sampleRateHz,
    missedShare: missed / (strikes + missed),
    setAsideShare: setAside / strikes,
    recent: recent.figures(),
  };
}
