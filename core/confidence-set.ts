/** All curves that the readings allow: weighted readings and shapes in; the best curve and every curve within the
 * 95 % limit out, from which the interval of any figure is read off. */
import { brokenLine } from './broken-line';
import { type RampShape, speedScale, type SpeedScale } from './ramp-shapes';
import { forEachCell, RampSweep, shapeAt, type SweepCell } from './ramp-sweep';
import { tQuantile } from './student-t';

/** Readings in rising order of speed; columns of equal length. */
export interface WeightedReadings {
  readonly rpm: Float64Array;
  readonly advanceDeg: Float64Array;
  readonly weight: Float64Array;
}

/** One curve: corners on the shape's scale, levels in degrees. */
export interface AllowedCurve {
  readonly shape: RampShape;
  readonly scale: SpeedScale;
  readonly corners: Float64Array;
  readonly levelsDeg: Float64Array;
  readonly covariance: Float64Array;
  readonly sse: number;
}

export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** The least squared sum at each of a grid of places of one corner. */
interface CornerProfile {
  readonly at: Float64Array;
  readonly least: Float64Array;
}

interface Explored {
  readonly shape: RampShape;
  readonly curves: readonly AllowedCurve[];
  readonly profiles: readonly CornerProfile[];
}

export interface ConfidenceSet {
  readonly best: AllowedCurve;
  readonly explored: readonly Explored[];
  /** The squared sum that a straight ramp may reach; dearer shapes may reach less. */
  readonly limit: number;
  /** How many readings. */
  readonly count: number;
  readonly curves: readonly AllowedCurve[];
  /** How far the squared sum of each curve lies below the limit; 0 or more, beside `curves`. */
  readonly room: Float64Array;
  readonly freedom: number;
  /** Variance of a reading of weight 1. */
  readonly variance: number;
}

/** Grid points for each corner: a look at everything, then closer where the limit runs. */
const PASSES: Readonly<Record<number, readonly number[]>> = { 2: [40, 24, 44], 3: [16, 12, 16] };
/** Corners nearer than this share of the readings' span are one. */
const LEAST_LENGTH = 1e-4;

const evenly = (from: number, to: number, count: number): Float64Array =>
  Float64Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));

/** The grid shrunk to what lies within the limit, one step more on each side. */
function closer(
  lists: readonly Float64Array[],
  cells: readonly AllowedCurve[],
  count: number,
): Float64Array[] {
  return lists.map((list, k) => {
    const step = list[1]! - list[0]!;
    let [low, high] = [1, 0];
    for (const { corners } of cells) [low, high] = [Math.min(low, corners[k]!), Math.max(high, corners[k]!)];
    return evenly(Math.max(0, low - step), Math.min(1, high + step), count);
  });
}

type Copy = (cell: SweepCell) => AllowedCurve;

function copyOf(cell: SweepCell, shape: RampShape, scale: SpeedScale, meanDeg: number): AllowedCurve {
  return {
    shape,
    scale,
    corners: cell.corners.slice(),
    levelsDeg: cell.levels.map((level) => level + meanDeg),
    covariance: cell.covariance.slice(),
    sse: cell.sse,
  };
}

function sweepOf(readings: WeightedReadings, shape: RampShape): { sweep: RampSweep; copy: Copy } {
  const { rpm, advanceDeg, weight } = readings;
  const scale = speedScale(shape, rpm[0]!, rpm[rpm.length - 1]!);
  const meanDeg = advanceDeg.reduce((sum, a) => sum + a, 0) / advanceDeg.length;
  const points = { x: rpm.map(scale.to), y: advanceDeg.map((a) => a - meanDeg), w: weight };
  const sweep = new RampSweep(points, shape.corners);
  return { sweep, copy: (cell) => copyOf(cell, shape, scale, meanDeg) };
}

/** Looks at every curve on a grid; keeps those within `ratio` of the least, and each corner's profile. */
function look(
  sweep: RampSweep,
  lists: readonly Float64Array[],
  ratio: number,
  copy: Copy,
): { curves: AllowedCurve[]; profiles: CornerProfile[] } {
  const profiles = lists.map((at) => ({ at, least: new Float64Array(at.length).fill(Infinity) }));
  const kept: AllowedCurve[] = [];
  let least = Infinity;
  forEachCell(sweep, lists, LEAST_LENGTH, (cell, choice) => {
    for (let k = 0; k < lists.length; k++) {
      const column = profiles[k]!.least;
      if (cell.sse < column[choice[k]!]!) column[choice[k]!] = cell.sse;
    }
    if (cell.sse > least * ratio) return;
    least = Math.min(least, cell.sse);
    sweep.spread();
    kept.push(copy(cell));
  });
  return { curves: kept.filter((curve) => curve.sse <= least * ratio), profiles };
}

/** Curves of one shape whose squared sum is within `ratio` of that shape's least. */
function exploreShape(readings: WeightedReadings, shape: RampShape, ratio: number): Explored {
  const { sweep, copy } = sweepOf(readings, shape);
  const [first, ...later] = PASSES[shape.corners]!;
  let lists = Array.from({ length: shape.corners }, () => evenly(0, 1, first!));
  let seen = look(sweep, lists, ratio, copy);
  for (const count of later) {
    if (seen.curves.length === 0) break;
    lists = closer(lists, seen.curves, count);
    seen = look(sweep, lists, ratio, copy);
  }
  return { shape, ...seen };
}

/** The best of a grid brought to the foot of its valley, where all its corners stand among the readings. */
function settled(readings: WeightedReadings, curve: AllowedCurve): AllowedCurve {
  if (curve.corners[0]! <= 0 || curve.corners.at(-1)! >= 1) return curve;
  const { sweep, copy } = sweepOf(readings, curve.shape);
  const options = { levelBefore: true, levelAfter: true, weights: readings.weight };
  const line = brokenLine(readings.rpm.map(curve.scale.to), readings.advanceDeg, [...curve.corners], options);
  if (line === null) return curve;
  sweep.cell.corners.set(line.corners.map((corner) => corner.value));
  if (!sweep.solve() || sweep.cell.sse >= curve.sse) return curve;
  sweep.spread();
  return copy(sweep.cell);
}

/** Explores the shapes and joins what they allow: the shape is one more thing that the readings leave open.
 * @param readings at least 5 more readings than a shape has figures are worth having; fewer shapes are then tried
 * @returns null where no shape leaves a degree of freedom
 * @source Inversion of the F test for one figure, the others fitted anew: Bates and Watts, Nonlinear Regression
 * Analysis (1988), section 6.1, profile t (from memory). Joining shapes at a price: n·ln(sum of squares) compared as
 * in Schwarz's criterion, Annals of Statistics 6 (1978) 461 (from memory). */
export function confidenceSet(
  readings: WeightedReadings,
  shapes: readonly RampShape[],
): ConfidenceSet | null {
  const n = readings.rpm.length;
  const limit = (freedom: number): number => 1 + tQuantile(0.05, freedom) ** 2 / freedom;
  const tried = shapes.filter((shape) => n > 2 * shape.corners);
  const priced = (curve: AllowedCurve): number => curve.sse * Math.exp(curve.shape.price / n);
  const explored = tried.map((shape) => exploreShape(readings, shape, limit(n - 2 * shape.corners) * 1.02));
  const found = explored.flatMap(({ curves }) => curves);
  if (found.length === 0) return null;
  const best = settled(
    readings,
    found.reduce((a, b) => (priced(b) < priced(a) ? b : a)),
  );
  const freedom = n - 2 * best.shape.corners;
  const cut = Math.max(priced(best), Number.MIN_VALUE) * limit(freedom);
  const curves = found.filter((curve) => priced(curve) <= cut);
  const room = Float64Array.from(curves, (curve) => cut * Math.exp(-curve.shape.price / n) - curve.sse);
  return { best, explored, limit: cut, count: n, curves, room, freedom, variance: best.sse / freedom };
}

/** The interval of a figure that is a sum of the levels with fixed weights at each curve's corners.
 * @param weigh fills the weights of one curve's levels */
export function levelInterval(
  set: ConfidenceSet,
  weigh: (curve: AllowedCurve, weights: Float64Array) => void,
): Interval {
  let [low, high] = [Infinity, -Infinity];
  const all = new Float64Array(3);
  set.curves.forEach((curve, i) => {
    const order = curve.levelsDeg.length;
    const weights = all.subarray(0, order);
    weights.fill(0);
    weigh(curve, weights);
    let [value, variance] = [0, 0];
    for (let j = 0; j < order; j++) {
      value += weights[j]! * curve.levelsDeg[j]!;
      for (let k = 0; k < order; k++)
        variance += weights[j]! * weights[k]! * curve.covariance[j * order + k]!;
    }
    const half = Math.sqrt(Math.max(0, set.room[i]! * variance));
    low = Math.min(low, value - half);
    high = Math.max(high, value + half);
  });
  return { low, high };
}

/** Where a profile passes its limit on the way out from its lowest stretch: between the last place within and the
 * first outside; the grid's end where it never does. */
function passes({ at, least }: CornerProfile, limit: number): Interval | null {
  const inside = Array.from(at.keys()).filter((i) => least[i]! <= limit);
  if (inside.length === 0) return null;
  const edge = (last: number, next: number): number => {
    const [within, beyond] = [least[last]!, least[next] ?? Infinity];
    if (beyond === Infinity) return at[last]!;
    return at[last]! + ((at[next]! - at[last]!) * (limit - within)) / (beyond - within);
  };
  return { low: edge(inside[0]!, inside[0]! - 1), high: edge(inside.at(-1)!, inside.at(-1)! + 1) };
}

/** The interval of one corner's speed, rpm.
 * @param which 0 is the start, -1 the all-in */
export function cornerInterval(set: ConfidenceSet, which: 0 | -1): Interval {
  let [low, high] = [Infinity, -Infinity];
  for (const { shape, curves, profiles } of set.explored) {
    const within = passes(profiles.at(which)!, set.limit * Math.exp(-shape.price / set.count));
    if (within === null) continue;
    const { scale } = curves[0]!;
    low = Math.min(low, scale.from(within.low));
    high = Math.max(high, scale.from(within.high));
  }
  return { low, high };
}

/** The curve's advance at a speed, degrees. */
export function advanceAt(curve: AllowedCurve, rpm: number): number {
  const weights = new Float64Array(curve.corners.length);
  shapeAt(curve.corners, curve.scale.to(rpm), weights);
  return weights.reduce((sum, weight, k) => sum + weight * curve.levelsDeg[k]!, 0);
}
