/** Continuous broken lines: points and a number of corners in; the least squares corners, height and slopes with
 * linearised standard errors out. The outer stretches slope freely or are held level. Knows no readings. */
import { closer, type CornerRange, evenly, lookAt, settle } from './corner-search';
import { leastSquares } from './least-squares';
import { RampSweep } from './ramp-sweep';

export interface BrokenLineOptions {
  /** Hold the stretch before the first corner, or after the last, level. */
  readonly levelBefore?: boolean;
  readonly levelAfter?: boolean;
}

export interface Estimate {
  readonly value: number;
  /** Linearised: too small where a stretch between corners holds few points. Null without a degree of freedom. */
  readonly standardError: number | null;
}

export interface BrokenLine {
  readonly corners: readonly Estimate[];
  /** Height at x = 0 of the first stretch's line. */
  readonly intercept: Estimate;
  /** Slope of the first stretch; null where it is held level. */
  readonly firstSlope: Estimate | null;
  /** Change of slope at each corner. Where the last stretch is held level the last change follows from the others
   * and is given without an error. */
  readonly slopeChanges: readonly Estimate[];
  readonly sse: number;
  readonly freedom: number;
}

const GRID = [0, 80, 40, 22];
const ROUNDS = 26;

/** @param x, y points in any order, equal length
 * @param corners how many, 1 to 3
 * @returns null where the points support no such line
 * @throws RangeError if lengths differ, the number of corners is another, or there are too few points
 * @source Least squares over all places of the corners; linearised errors as Muggeo, Statistics in Medicine 22 (2003)
 * 3055 (from memory): covariance s²(J'J)⁻¹ with J the line's rates of change with each figure. */
export function brokenLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  corners: number,
  options: BrokenLineOptions = {},
): BrokenLine | null {
  if (x.length !== y.length) throw new RangeError(`wanted as many y as x, got ${y.length} and ${x.length}`);
  if (!(corners === 1 || corners === 2 || corners === 3))
    throw new RangeError(`wanted 1 to 3 corners, got ${corners}`);
  const figures = 2 + 2 * corners - (options.levelBefore ? 1 : 0) - (options.levelAfter ? 1 : 0);
  if (x.length < figures)
    throw new RangeError(`wanted at least ${figures} points for ${corners} corners, got ${x.length}`);
  const order = Array.from(x, (_, i) => i).sort((a, b) => x[a]! - x[b]!);
  const at = Float64Array.from(order, (i) => x[i]!);
  const height = Float64Array.from(order, (i) => y[i]!);
  const found = searched(at, height, corners, options);
  return found && described(at, height, found.corners, found.sse, options);
}

/** Corners in x's own unit, with the squared sum. */
function searched(
  x: Float64Array,
  y: Float64Array,
  corners: number,
  options: BrokenLineOptions,
): { corners: number[]; sse: number } | null {
  const [low, high] = [x[0]!, x[x.length - 1]!];
  const mean = y.reduce((sum, value) => sum + value, 0) / y.length;
  const points = {
    x: x.map((value) => (value - low) / (high - low)),
    y: y.map((value) => value - mean),
    w: x.map(() => 1),
  };
  const free = Array.from({ length: corners }, (): CornerRange => [0, 1]);
  // a sloping end is a stretch to a corner that stands fixed at the outermost point
  const ranges: CornerRange[] = [
    ...(options.levelBefore ? [] : [[0, 0] as const]),
    ...free,
    ...(options.levelAfter ? [] : [[1, 1] as const]),
  ];
  const sweep = new RampSweep(points, ranges.length);
  const looked = (over: readonly CornerRange[]) =>
    lookAt(
      sweep,
      over.map((range) => evenly(range, GRID[corners]!)),
    );
  const first = looked(ranges);
  if (first.sse === Infinity) return null;
  const best = settle(sweep, looked(closer(first, 1.5 * first.sse, first.corners, ranges)), ranges, ROUNDS);
  const from = options.levelBefore ? 0 : 1;
  const inner = Array.from(best.corners.slice(from, from + corners), (c) => low + c * (high - low));
  return { corners: inner, sse: best.sse };
}

const hinge = (x: Float64Array, corner: number): Float64Array =>
  x.map((value) => Math.max(0, value - corner));

/** Columns of height, first slope and slope changes for fixed corners. */
function lineColumns(
  x: Float64Array,
  corners: readonly number[],
  options: BrokenLineOptions,
): Float64Array[] {
  const hinges = corners.map((corner) => hinge(x, corner));
  const columns = [x.map(() => 1), ...(options.levelBefore ? [] : [x]), ...hinges];
  if (!options.levelAfter) return columns;
  // level after the last corner: the slopes sum to 0, so the last hinge comes off every other slope's column
  const last = columns.pop()!;
  return columns.map((column, j) => (j === 0 ? column : column.map((value, i) => value - last[i]!)));
}

/** The change of slope at every corner, worked out where the last is tied to the others. */
function changesOf(coefficients: readonly number[], options: BrokenLineOptions): number[] {
  const changes = coefficients.slice(options.levelBefore ? 1 : 2);
  if (!options.levelAfter) return changes;
  return [...changes, -coefficients.slice(1).reduce((sum, slope) => sum + slope, 0)];
}

function described(
  x: Float64Array,
  y: Float64Array,
  corners: readonly number[],
  sse: number,
  options: BrokenLineOptions,
): BrokenLine | null {
  const columns = lineColumns(x, corners, options);
  const line = leastSquares(columns, y);
  if (line === null) return null;
  const changes = changesOf(line.coefficients, options);
  const cornerColumns = corners.map((corner, k) => x.map((value) => (value > corner ? -changes[k]! : 0)));
  const whole = leastSquares([...columns, ...cornerColumns], y);
  // the errors of all figures together, brought to the scatter about the line itself
  const scale = whole && whole.sse > 0 ? Math.sqrt(sse / whole.sse) : 0;
  const estimate = (value: number, k: number): Estimate => {
    const error = whole?.standardErrors?.[k];
    return { value, standardError: error === undefined ? null : error * scale };
  };
  const firstChange = options.levelBefore ? 1 : 2;
  return {
    corners: corners.map((corner, k) => estimate(corner, columns.length + k)),
    intercept: estimate(line.coefficients[0]!, 0),
    firstSlope: options.levelBefore ? null : estimate(line.coefficients[1]!, 1),
    slopeChanges: changes.map((change, k) =>
      firstChange + k < columns.length
        ? estimate(change, firstChange + k)
        : { value: change, standardError: null },
    ),
    sse,
    freedom: x.length - columns.length - corners.length,
  };
}
