/** How far a run's readings reach: mechanisms drawn from them in; whether the weights' rest and the stop were read, and
 * how much of the ramp out. */
import type { CurveFit, CurvePoint } from '../fit';
import { advanceOnRamp, speedWith, UNCHANGED } from './lumped';
import { type Layout, lumpedAt, rangeAt, type RunParts } from './parameters';
import { shareOf } from './quantiles';

export interface Reach {
  /** The weights rested at the lowest speed read: the initial timing is seen. */
  readonly rest: boolean;
  /** They lay at the stop at the highest: the total is seen. */
  readonly stop: boolean;
  /** The highest advance beyond the initial that was read, crank degrees. */
  readonly readDeg: number;
  /** Chance that a second spring takes hold before the stop. */
  readonly secondChance: number;
}

/** Chance from which a level counts as read: by the mechanism alone, and where the broken line shows it too. */
const SURE = 0.975;
const LIKELY = 0.5;
const isRead = (chance: number, shownByLine: boolean): boolean => chance >= (shownByLine ? LIKELY : SURE);

/** @param points those that are no slips, one or more */
export function reachOf(
  layout: Layout,
  draws: readonly Float64Array[],
  points: readonly CurvePoint[],
  parts: RunParts,
  fit: CurveFit,
): Reach {
  const speeds = points.map((point) => point.rpm);
  const [low, high] = [Math.min(...speeds), Math.max(...speeds)];
  const views = draws.map((point) => {
    const lumped = lumpedAt(layout, point, parts);
    const range = rangeAt(layout, point, parts.stop);
    return {
      rests: speedWith(lumped, UNCHANGED, 0) > low,
      stopped: speedWith(lumped, UNCHANGED, range) < high,
      readDeg: advanceOnRamp(lumped, high, range),
      second: lumped.secondRate > 0 && lumped.slackDeg < range,
    };
  });
  return {
    rest: isRead(
      shareOf(views, (view) => view.rests),
      fit.initialDeg !== null,
    ),
    stop: isRead(
      shareOf(views, (view) => view.stopped),
      fit.totalDeg !== null,
    ),
    readDeg: views.reduce((sum, view) => sum + view.readDeg, 0) / views.length,
    secondChance: shareOf(views, (view) => view.second),
  };
}
