/** All curves that the readings allow: weighted readings and shapes in; the best curve and every curve within the
 * 95 % limit out, from which the interval of any figure is read off. */
import {
  closer,
  type CornerProfile,
  type CornerRange,
  evenly,
  lookAt,
  type Look,
  settle,
} from './corner-search';
import {
  type AllowedCurve,
  type ConfidenceSet,
  cheapest,
  type Explored,
  priced,
  strideOf,
} from './allowed-curves';
import type { KnownScatter } from './noted';
import { goesOneWay, onScale, type RampShape, speedScale, type SpeedScale } from './ramp-shapes';
import { RampSweep, type SweepCell } from './ramp-sweep';
import { tQuantile } from './student-t';

/** Readings in rising order of speed; columns of equal length. */
export interface WeightedReadings {
  readonly rpm: Float64Array;
  readonly advanceDeg: Float64Array;
  readonly weight: Float64Array;
}

/** Grid places for each corner, look by look, closer where the limit runs; the last gives the intervals. */
const LOOKS: Readonly<Record<number, readonly number[]>> = { 2: [40, 24, 40], 3: [15, 11, 15] };
const ROUNDS = 8;

interface ShapeSweep {
  readonly shape: RampShape;
  readonly scale: SpeedScale;
  readonly meanDeg: number;
  readonly sweep: RampSweep;
  readonly ranges: readonly CornerRange[];
}

function shapeSweep({ rpm, advanceDeg, weight }: WeightedReadings, shape: RampShape): ShapeSweep {
  const scale = speedScale(shape, rpm[0]!, rpm[rpm.length - 1]!);
  const meanDeg = advanceDeg.reduce((sum, a) => sum + a, 0) / advanceDeg.length;
  const points = {
    x: rpm.map((speed) => onScale(scale, speed)),
    y: advanceDeg.map((a) => a - meanDeg),
    w: weight,
  };
  const ranges = Array.from({ length: shape.corners }, (): CornerRange => [0, 1]);
  const sweep = new RampSweep(points, shape.corners, shape.corners === 3 ? goesOneWay : undefined);
  return { shape, scale, meanDeg, sweep, ranges };
}

/** A reading can be no better than this, degrees: so little scatter is chance or rounding. */
const LEAST_SD_DEG = 0.01;

const leastSse = (n: number): number => n * LEAST_SD_DEG ** 2;

function curveOf({ shape, scale, meanDeg, sweep }: ShapeSweep, corners: Float64Array): AllowedCurve {
  lookAt(
    sweep,
    Array.from(corners, (corner) => Float64Array.of(corner)),
  );
  sweep.spread();
  const { levels, covariance, sse } = sweep.cell;
  const levelsDeg = levels.map((level) => level + meanDeg);
  return { shape, scale, corners, levelsDeg, covariance: covariance.slice(), sse };
}

/** Looks everywhere, then where the limit runs; all but the last time.
 * @returns null where the readings support no curve of the shape */
function narrowed(
  { shape, sweep, ranges }: ShapeSweep,
  limitFor: (sse: number) => number,
): { best: Look; near: CornerRange[] } | null {
  const looks = LOOKS[shape.corners]!;
  let near: CornerRange[] = [...ranges];
  let best: Look | null = null;
  for (const count of looks.slice(0, -1)) {
    const look = lookAt(
      sweep,
      near.map((range) => evenly(range, count)),
    );
    if (look.sse === Infinity) return best && { best, near };
    const foot = settle(sweep, look, ranges, ROUNDS);
    if (best === null || foot.sse < best.sse) best = foot;
    near = closer(look, limitFor(best.sse), best.corners, ranges);
  }
  return best && { best, near };
}

/** The best curve of one shape.
 * @returns null where the readings support none, or leave no degree of freedom */
export function bestCurve(readings: WeightedReadings, shape: RampShape): AllowedCurve | null {
  if (readings.rpm.length <= 2 * shape.corners) return null;
  const swept = shapeSweep(readings, shape);
  const look = lookAt(
    swept.sweep,
    swept.ranges.map((range) => evenly(range, LOOKS[shape.corners]![0]!)),
  );
  if (look.sse === Infinity) return null;
  return curveOf(swept, settle(swept.sweep, look, swept.ranges, ROUNDS).corners);
}

const WIDE = 1.02;

/** @param ratio of the squared sum that is allowed to the least, what is known beforehand counted in both */
function explore(
  readings: WeightedReadings,
  shape: RampShape,
  ratio: number,
  { squares }: KnownScatter,
): Explored | null {
  const swept = shapeSweep(readings, shape);
  const least = leastSse(readings.rpm.length);
  const limitFor = (sse: number): number => (Math.max(sse, least) + squares) * ratio * WIDE - squares;
  const found = narrowed(swept, limitFor);
  if (found === null) return null;
  const lists = found.near.map((range) => evenly(range, LOOKS[shape.corners]!.at(-1)!));
  const cells = cellsWithin(swept.sweep, lists, limitFor(found.best.sse));
  return { best: curveOf(swept, found.best.corners), ...cells, meanDeg: swept.meanDeg };
}

/** Every choice on the lists whose squared sum is within the limit, in one column; and the profiles. */
function cellsWithin(
  sweep: RampSweep,
  lists: readonly Float64Array[],
  limit: number,
): { cells: Float64Array; profiles: CornerProfile[] } {
  const profiles = lists.map((at) => ({ at, least: new Float64Array(at.length).fill(Infinity) }));
  const stride = strideOf(lists.length);
  const cells = new Float64Array(stride * lists.reduce((product, at) => product * at.length, 1));
  let used = 0;
  const keep = ({ corners, levels, covariance, sse }: SweepCell): void => {
    sweep.spread();
    cells.set(corners, used);
    cells.set(levels, used + corners.length);
    cells.set(covariance, used + 2 * corners.length);
    cells[used + stride - 1] = sse;
    used += stride;
  };
  sweep.forEach(
    lists.map((at) => sweep.grid(at)),
    (cell, choice) => {
      for (let k = 0; k < profiles.length; k++) {
        const { least } = profiles[k]!;
        if (cell.sse < least[choice[k]!]!) least[choice[k]!] = cell.sse;
      }
      if (cell.sse <= limit) keep(cell);
    },
  );
  return { cells: cells.slice(0, used), profiles };
}

/** Chance outside a figure's interval at which curves are cut off, for 5 % in the end: kinks at the corners, the
 * search among shapes and weights drawn from the same readings spend the rest (measured on made sets). */
const CUT_CHANCE = 0.033;
/** Figures that every shape has besides corners and levels: how the scatter grows. */
const SCATTER_FIGURES = 1;

/** Explores the shapes and joins what they allow: the shape is one more thing that the readings leave open.
 * @param known of the scatter beforehand
 * @returns null where no shape leaves a degree of freedom
 * @source Inversion of the F test for one figure, the others fitted anew: Bates and Watts, Nonlinear Regression
 * Analysis (1988), section 6.1, profile t (from memory). Joining shapes at a price: n·ln(sum of squares) compared as
 * in Schwarz's criterion, Annals of Statistics 6 (1978) 461 (from memory). What is known of the scatter as more
 * readings: the conjugate prior of a variance, scaled inverse chi-squared (Gelman and others, Bayesian Data Analysis,
 * section 2.6; from memory). */
export function confidenceSet(
  readings: WeightedReadings,
  shapes: readonly RampShape[],
  known: KnownScatter,
): ConfidenceSet | null {
  const n = readings.rpm.length;
  const ratio = (shape: RampShape): number => {
    const freedom = Math.max(1, n - 2 * shape.corners - SCATTER_FIGURES) + known.count;
    return 1 + tQuantile(CUT_CHANCE, freedom) ** 2 / freedom;
  };
  const explored = shapes
    .filter((shape) => n > 2 * shape.corners)
    .map((shape) => explore(readings, shape, ratio(shape), known))
    .filter((found) => found !== null);
  if (explored.length === 0) return null;
  const best = cheapest(explored, n, known);
  const limit = Math.max(priced(best, n, known), leastSse(n)) * ratio(best.shape);
  return { best, explored, limit, count: n, known, freedom: n - 2 * best.shape.corners };
}
