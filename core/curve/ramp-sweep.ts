/** Curves that are level, rise in straight stretches between corners, and are level again: readings and chosen
 * corners in, the least squares levels at those corners out. Running sums are kept so that one choice costs little. */

/** Columns of equal length, x never falling. */
export interface SweepPoints {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Weights, over 0. */
  readonly w: Float64Array;
}

/** Places that one corner may take, rising, with how many points lie at or before each. */
export interface CornerGrid {
  readonly at: Float64Array;
  readonly upTo: Int32Array;
}

/** One choice of corners with what fits best there. Scratch: the sweep hands over the same object each time. */
export interface SweepCell {
  readonly corners: Float64Array;
  /** The level at each corner. */
  readonly levels: Float64Array;
  /** Row by row, the levels' covariance for a reading of weight and variance 1; filled by `spread()`. */
  readonly covariance: Float64Array;
  /** Weighted sum of squared residuals. */
  sse: number;
}

/** How many of a rising column are at most a value. */
function countUpTo(x: Float64Array, value: number): number {
  let low = 0;
  let high = x.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (x[middle]! <= value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Running sums of weight, x, xx, y, xy: entry i holds the first i points. */
interface RunningSums {
  readonly w: Float64Array;
  readonly x: Float64Array;
  readonly xx: Float64Array;
  readonly y: Float64Array;
  readonly xy: Float64Array;
}

function runningSums({ x, y, w }: SweepPoints): RunningSums {
  const column = (term: (i: number) => number): Float64Array => {
    const sums = new Float64Array(x.length + 1);
    for (let i = 0; i < x.length; i++) sums[i + 1] = sums[i]! + w[i]! * term(i);
    return sums;
  };
  return {
    w: column(() => 1),
    x: column((i) => x[i]!),
    xx: column((i) => x[i]! * x[i]!),
    y: column((i) => y[i]!),
    xy: column((i) => x[i]! * y[i]!),
  };
}

/** Corners nearer than this are one; the points' x is best scaled to 0 to 1. */
const LEAST_LENGTH = 1e-4;

/** Solves at any corners for one set of points. */
export class RampSweep {
  readonly cell: SweepCell;
  /** How many corners. */
  readonly order: number;
  readonly #x: Float64Array;
  readonly #sums: RunningSums;
  readonly #sumYY: number;
  readonly #leastPivot: number;
  readonly #diagonal: Float64Array;
  readonly #beside: Float64Array;
  readonly #right: Float64Array;
  readonly #pivot: Float64Array;
  readonly #unit: Float64Array;
  readonly #solved: Float64Array;
  readonly #upTo: Int32Array;
  readonly #mayBe: (cell: SweepCell) => boolean;

  /** @param points at least one; x best from 0 to 1, y best about 0
   *  @param order how many corners, at least 2
   *  @param mayBe which curves are looked at, their levels known; all where left out */
  constructor(points: SweepPoints, order: number, mayBe: (cell: SweepCell) => boolean = () => true) {
    this.order = order;
    this.#mayBe = mayBe;
    this.#x = points.x;
    this.#sums = runningSums(points);
    this.#sumYY = points.y.reduce((sum, y, i) => sum + points.w[i]! * y * y, 0);
    this.#leastPivot = 1e-9 * this.#sums.w[points.x.length]!;
    const column = (length = order): Float64Array => new Float64Array(length);
    [this.#diagonal, this.#beside, this.#right] = [column(), column(), column()];
    [this.#pivot, this.#unit, this.#solved] = [column(), column(), column()];
    this.#upTo = new Int32Array(order);
    this.cell = { corners: column(), levels: column(), covariance: column(order * order), sse: 0 };
  }

  /** @param at rising places */
  grid(at: Float64Array): CornerGrid {
    return { at, upTo: Int32Array.from(at, (value) => countUpTo(this.#x, value)) };
  }

  /** Calls `visit` at every rising choice of one corner from each grid that the points support, with the places
   * chosen. `cell` holds the levels and the squared sum; call `spread()` for the covariance. */
  forEach(grids: readonly CornerGrid[], visit: (cell: SweepCell, choice: Int32Array) => void): void {
    const choice = new Int32Array(this.order);
    const { corners } = this.cell;
    const descend = (depth: number): void => {
      if (depth === this.order) {
        if (this.#solve() && this.#mayBe(this.cell)) visit(this.cell, choice);
        return;
      }
      const { at, upTo } = grids[depth]!;
      const least = depth > 0 ? corners[depth - 1]! + LEAST_LENGTH : -Infinity;
      for (let i = 0; i < at.length; i++) {
        if (at[i]! < least) continue;
        corners[depth] = at[i]!;
        this.#upTo[depth] = upTo[i]!;
        choice[depth] = i;
        descend(depth + 1);
      }
    };
    descend(0);
  }

  /** Fills `cell.covariance`, after a solution. */
  spread(): void {
    for (let k = 0; k < this.order; k++) {
      this.#unit.fill(0);
      this.#unit[k] = 1;
      this.#backSolve(this.#unit, this.#solved);
      for (let j = 0; j < this.order; j++) this.cell.covariance[k * this.order + j] = this.#solved[j]!;
    }
  }

  #solve(): boolean {
    this.#gather();
    if (!this.#factor()) return false;
    const { levels } = this.cell;
    this.#backSolve(this.#right, levels);
    let sse = this.#sumYY;
    for (let k = 0; k < this.order; k++) sse -= levels[k]! * this.#right[k]!;
    this.cell.sse = sse > 0 ? sse : 0;
    return true;
  }

  /** The normal equations: each stretch adds to the two levels at its ends. */
  #gather(): void {
    const [diagonal, beside, right, upTo] = [this.#diagonal, this.#beside, this.#right, this.#upTo];
    const { w, x, xx, y, xy } = this.#sums;
    const { corners } = this.cell;
    const last = this.order - 1;
    diagonal[0] = w[upTo[0]!]!;
    right[0] = y[upTo[0]!]!;
    for (let k = 0; k < last; k++) {
      const [from, to, start] = [upTo[k]!, upTo[k + 1]!, corners[k]!];
      const length = corners[k + 1]! - start;
      const sumW = w[to]! - w[from]!;
      const sumX = x[to]! - x[from]!;
      const sumY = y[to]! - y[from]!;
      const t = (sumX - start * sumW) / length;
      const tt = (xx[to]! - xx[from]! - 2 * start * sumX + start * start * sumW) / (length * length);
      const ty = (xy[to]! - xy[from]! - start * sumY) / length;
      diagonal[k]! += sumW - 2 * t + tt;
      diagonal[k + 1] = tt;
      beside[k] = t - tt;
      right[k]! += sumY - ty;
      right[k + 1] = ty;
    }
    const [end, to] = [w.length - 1, upTo[last]!];
    diagonal[last]! += w[end]! - w[to]!;
    right[last]! += y[end]! - y[to]!;
  }

  #factor(): boolean {
    let before = 0;
    for (let k = 0; k < this.order; k++) {
      const pivot = this.#diagonal[k]! - before;
      if (!(pivot > this.#leastPivot)) return false;
      this.#pivot[k] = pivot;
      before = (this.#beside[k]! * this.#beside[k]!) / pivot;
    }
    return true;
  }

  #backSolve(right: Float64Array, out: Float64Array): void {
    const [beside, pivot, order] = [this.#beside, this.#pivot, this.order];
    out[0] = right[0]!;
    for (let k = 1; k < order; k++) out[k] = right[k]! - (beside[k - 1]! / pivot[k - 1]!) * out[k - 1]!;
    out[order - 1]! /= pivot[order - 1]!;
    for (let k = order - 2; k >= 0; k--) out[k] = (out[k]! - beside[k]! * out[k + 1]!) / pivot[k]!;
  }
}
