/** Many readings in, fewer that say the same out: a sensor gives one for each spark, and the mechanism's fit weighs every
 * one of them a hundred thousand times. */
import type { CurvePoint } from '../fit';
import { robustMean } from '../curve/robust';

/** More readings than this are gathered into so many. Readings by hand are far fewer. */
export const MOST_POINTS = 120;

/** @returns the same points where they are few; else groups of neighbours in speed, each by its robust mean, so that slips
 * among them hardly count */
export function gathered(points: readonly CurvePoint[]): readonly CurvePoint[] {
  if (points.length <= MOST_POINTS) return points;
  const rising = points.toSorted((a, b) => a.rpm - b.rpm);
  return Array.from({ length: MOST_POINTS }, (_, i) => {
    const from = Math.floor((i * rising.length) / MOST_POINTS);
    const group = rising.slice(from, Math.floor(((i + 1) * rising.length) / MOST_POINTS));
    return {
      rpm: group.reduce((sum, { rpm }) => sum + rpm, 0) / group.length,
      advanceDeg: robustMean(group.map(({ advanceDeg }) => advanceDeg))!.mean,
    };
  });
}
