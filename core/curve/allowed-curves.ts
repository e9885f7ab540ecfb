/** All curves that the readings allow, as plain data; an advance, a level or a corner with its interval out. They are
 * found in `confidence-set.ts`, and looked at in any thread. */
import type { CornerProfile } from './corner-search';
import type { KnownScatter } from './noted';
import { offScale, onScale, type RampShape, shapeAt, type SpeedScale } from './ramp-shapes';

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

/** What one shape allows. */
export interface Explored {
  readonly best: AllowedCurve;
  readonly profiles: readonly CornerProfile[];
  /** Curve after curve: corners, levels above the mean, covariance, squared sum. */
  readonly cells: Float64Array;
  readonly meanDeg: number;
}

/** Plain data: it goes from thread to thread. */
export interface ConfidenceSet {
  readonly best: AllowedCurve;
  readonly explored: readonly Explored[];
  /** The squared sum that a straight ramp may reach; dearer shapes may reach less. */
  readonly limit: number;
  /** How many readings, and what is known of the scatter beforehand as so many more with their squares, which the
   * limit holds as well. */
  readonly count: number;
  readonly known: KnownScatter;
  readonly freedom: number;
}

/** How many numbers a curve takes in `cells`. */
export const strideOf = (order: number): number => 2 * order + order * order + 1;

/** The squared sum that a curve of this shape may reach. */
const limitFor = ({ limit, count, known }: ConfidenceSet, { price }: RampShape, more = 0): number =>
  limit * Math.exp(-(price + more) / (count + known.count)) - known.squares;

/** A curve's squared sum, what is known beforehand counted in, as dear as its shape makes it. */
export const priced = (
  { sse, shape }: AllowedCurve,
  count: number,
  known: KnownScatter,
  more: ExtraPrice = () => 0,
): number => (sse + known.squares) * Math.exp((shape.price + more(shape)) / (count + known.count));

/** What a shape costs more than its price. */
export type ExtraPrice = (shape: RampShape) => number;

/** The best curve of the shapes that were explored.
 * @param explored at least one */
export function cheapest(
  explored: readonly Explored[],
  count: number,
  known: KnownScatter,
  more?: ExtraPrice,
): AllowedCurve {
  const costs = (curve: AllowedCurve): number => priced(curve, count, known, more);
  return explored.map(({ best }) => best).reduce((a, b) => (costs(b) < costs(a) ? b : a));
}

/** For the curves on one scale: fills the weights of a curve's levels; the weights come as zeros. */
export type Weigh = (scale: SpeedScale) => (corners: Float64Array, weights: Float64Array) => void;

/** The interval of a figure that is a sum of the levels, weighted in a way that may depend on the corners. */
export function levelInterval(set: ConfidenceSet, weigh: Weigh): Interval {
  let [low, high] = [Infinity, -Infinity];
  for (const found of set.explored) {
    const within = shapeInterval(found, limitFor(set, found.best.shape), weigh);
    [low, high] = [Math.min(low, within.low), Math.max(high, within.high)];
  }
  return { low, high };
}

function shapeInterval({ best, cells, meanDeg }: Explored, limit: number, weigh: Weigh): Interval {
  const order = best.corners.length;
  const stride = strideOf(order);
  const [corners, weights] = [new Float64Array(order), new Float64Array(order)];
  const fill = weigh(best.scale);
  let [low, high] = [Infinity, -Infinity];
  for (let at = 0; at < cells.length; at += stride) {
    const room = limit - cells[at + stride - 1]!;
    if (room < 0) continue;
    for (let k = 0; k < order; k++) corners[k] = cells[at + k]!;
    weights.fill(0);
    fill(corners, weights);
    let [value, variance] = [0, 0];
    for (let j = 0; j < order; j++) {
      value += weights[j]! * (cells[at + order + j]! + meanDeg);
      for (let k = 0; k < order; k++)
        variance += weights[j]! * weights[k]! * cells[at + (2 + j) * order + k]!;
    }
    const half = Math.sqrt(room * Math.max(variance, 0));
    if (value - half < low) low = value - half;
    if (value + half > high) high = value + half;
  }
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
 * @param which 0 is the start, -1 the all-in
 * @returns from Infinity to -Infinity where no curve is allowed at the higher prices */
export function cornerInterval(set: ConfidenceSet, which: 0 | -1, more: ExtraPrice = () => 0): Interval {
  let [low, high] = [Infinity, -Infinity];
  for (const { best, profiles } of set.explored) {
    const within = passes(profiles.at(which)!, limitFor(set, best.shape, more(best.shape)));
    if (within === null) continue;
    low = Math.min(low, offScale(best.scale, within.low));
    high = Math.max(high, offScale(best.scale, within.high));
  }
  return { low, high };
}

/** The curve's advance at a speed, degrees. */
export function advanceAt(curve: AllowedCurve, rpm: number): number {
  const weights = new Float64Array(curve.corners.length);
  shapeAt(curve.corners, onScale(curve.scale, rpm), weights);
  return weights.reduce((sum, weight, k) => sum + weight * curve.levelsDeg[k]!, 0);
}
