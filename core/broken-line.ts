/** Continuous broken lines: points and a first guess of the corners in; the least squares corners, height and slopes
 * out, with linearised standard errors. The outer stretches may be held level. Knows no readings. */
import { leastSquares, type LinearFit } from './least-squares';

export interface BrokenLineOptions {
  /** Hold the stretch before the first corner, or after the last, level. */
  readonly levelBefore?: boolean;
  readonly levelAfter?: boolean;
  readonly weights?: ArrayLike<number>;
}

export interface Estimate {
  readonly value: number;
  /** Linearised standard error: too small where a stretch between corners holds few points. */
  readonly standardError: number;
}

export interface BrokenLine {
  readonly corners: readonly Estimate[];
  /** Height at x = 0 of the first stretch's line. */
  readonly intercept: Estimate;
  /** Slope of the first stretch; null where it is held level. */
  readonly firstSlope: Estimate | null;
  /** Change of slope at each corner; the last is null where the stretch after it is held level. */
  readonly slopeChanges: readonly (Estimate | null)[];
  readonly sse: number;
  readonly freedom: number;
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

const rises = (corners: readonly number[], low: number, high: number): boolean =>
  corners.every((corner, k) => corner > (k === 0 ? low : corners[k - 1]!) && corner < high);

/** @param x, y points in any order, equal length
 * @param guess corners, rising, inside the points
 * @returns null where the points leave a corner without support
 * @throws RangeError if lengths differ, the guess does not rise inside the points, or too few points are given
 * @source V. Muggeo, Statistics in Medicine 22 (2003) 3055: a corner's move is its extra coefficient over its change
 * of slope (from memory); here with the step halved until the squared sum falls. */
export function brokenLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  guess: readonly number[],
  options: BrokenLineOptions = {},
): BrokenLine | null {
  const at = Float64Array.from(x);
  const [low, high] = [Math.min(...at), Math.max(...at)];
  if (at.length !== y.length) throw new RangeError(`wanted as many y as x, got ${y.length} and ${at.length}`);
  if (guess.length === 0 || !rises(guess, low, high))
    throw new RangeError(`wanted corners that rise between ${low} and ${high}, got ${guess.join(', ')}`);
  const fitAt = (corners: readonly number[]): LinearFit | null =>
    leastSquares(lineColumns(at, corners, options), y, options.weights);
  let corners = [...guess];
  let fit = fitAt(corners);
  for (let round = 0; fit !== null && round < 100; round++) {
    const step = cornerSteps(at, y, corners, options);
    if (step === null) break;
    const better = halved(corners, step, fit.sse, low, high, fitAt);
    if (better === null) break;
    const moved = Math.max(...better.corners.map((corner, k) => Math.abs(corner - corners[k]!)));
    ({ corners, fit } = better);
    if (moved < 1e-12 * (high - low)) break;
  }
  return fit === null ? null : described(at, y, corners, fit, options);
}

/** Columns of the curve's rate of change with each corner. */
function cornerColumns(
  x: Float64Array,
  corners: readonly number[],
  changes: readonly number[],
): Float64Array[] {
  return corners.map((corner, k) => x.map((value) => (value > corner ? -changes[k]! : 0)));
}

/** The linear problem in all figures at once, corners last. */
function wholeFit(
  x: Float64Array,
  y: ArrayLike<number>,
  corners: readonly number[],
  options: BrokenLineOptions,
  changes: readonly number[],
): LinearFit | null {
  const columns = [...lineColumns(x, corners, options), ...cornerColumns(x, corners, changes)];
  if (columns.length > x.length)
    throw new RangeError(
      `wanted at least ${columns.length} points for ${corners.length} corners, got ${x.length}`,
    );
  return leastSquares(columns, y, options.weights);
}

function cornerSteps(
  x: Float64Array,
  y: ArrayLike<number>,
  corners: readonly number[],
  options: BrokenLineOptions,
): number[] | null {
  const fixed = leastSquares(lineColumns(x, corners, options), y, options.weights);
  if (fixed === null) return null;
  const whole = wholeFit(x, y, corners, options, changesOf(fixed.coefficients, options));
  return whole?.coefficients.slice(-corners.length) ?? null;
}

/** The longest of step, step/2, step/4 … that makes the squared sum fall; null where none does. */
function halved(
  corners: readonly number[],
  step: readonly number[],
  sse: number,
  low: number,
  high: number,
  fitAt: (corners: readonly number[]) => LinearFit | null,
): { corners: number[]; fit: LinearFit } | null {
  for (let share = 1; share > 1e-6; share /= 2) {
    const tried = corners.map((corner, k) => corner + share * step[k]!);
    if (!rises(tried, low, high)) continue;
    const fit = fitAt(tried);
    if (fit !== null && fit.sse < sse) return { corners: tried, fit };
  }
  return null;
}

function described(
  x: Float64Array,
  y: ArrayLike<number>,
  corners: readonly number[],
  fit: LinearFit,
  options: BrokenLineOptions,
): BrokenLine | null {
  const changes = changesOf(fit.coefficients, options);
  const whole = wholeFit(x, y, corners, options, changes);
  if (whole?.standardErrors == null) return null;
  // the errors of all figures together, scaled to the scatter about the curve itself
  const scale = Math.sqrt(fit.sse / whole.sse);
  const error = (k: number): number => whole.standardErrors![k]! * (Number.isFinite(scale) ? scale : 0);
  const estimate = (value: number, k: number): Estimate => ({ value, standardError: error(k) });
  const before = options.levelBefore ? 1 : 2;
  const lines = fit.coefficients.length;
  return {
    corners: corners.map((corner, k) => estimate(corner, lines + k)),
    intercept: estimate(fit.coefficients[0]!, 0),
    firstSlope: options.levelBefore ? null : estimate(fit.coefficients[1]!, 1),
    slopeChanges: changes.map((change, k) => (before + k < lines ? estimate(change, before + k) : null)),
    sse: fit.sse,
    freedom: whole.freedom,
  };
}
