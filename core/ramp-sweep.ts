/** Curves that are level, rise in straight stretches between corners, and are level again: readings and chosen
 * corners in, the least squares levels at those corners out. Sums are kept so that one choice costs little. */

/** Columns of equal length, x never falling. */
export interface SweepPoints {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Weights, over 0. */
  readonly w: Float64Array;
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

/** How many points have x below, or up to, a value. */
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

/** Solves at any corners for one set of points. */
export class RampSweep {
  readonly cell: SweepCell;
  readonly #x: Float64Array;
  readonly #sums: RunningSums;
  readonly #sumYY: number;
  readonly #order: number;
  /** The normal equations: diagonal, beside the diagonal, right side; then the pivots. */
  readonly #diagonal: Float64Array;
  readonly #beside: Float64Array;
  readonly #right: Float64Array;
  readonly #pivot: Float64Array;
  readonly #unit: Float64Array;
  readonly #solved: Float64Array;

  /** @param points at least one; x and y best near 0 to 1 and about 0
   *  @param order how many corners, at least 2 */
  constructor(points: SweepPoints, order: number) {
    this.#x = points.x;
    this.#order = order;
    this.#sums = runningSums(points);
    this.#sumYY = points.y.reduce((sum, y, i) => sum + points.w[i]! * y * y, 0);
    const column = (length = order): Float64Array => new Float64Array(length);
    [this.#diagonal, this.#beside, this.#right] = [column(), column(), column()];
    [this.#pivot, this.#unit, this.#solved] = [column(), column(), column()];
    this.cell = { corners: column(), levels: column(), covariance: column(order * order), sse: 0 };
  }

  /** Solves at `cell.corners`, which must rise strictly: fills `levels` and `sse`.
   *  @returns false where the points leave a level without support */
  solve(): boolean {
    this.#gather();
    if (!this.#factor()) return false;
    const { levels } = this.cell;
    this.#backSolve(this.#right, levels);
    let sse = this.#sumYY;
    for (let k = 0; k < this.#order; k++) sse -= levels[k]! * this.#right[k]!;
    this.cell.sse = Math.max(sse, 0);
    return true;
  }

  /** Fills `cell.covariance`, after `solve()`. */
  spread(): void {
    for (let k = 0; k < this.#order; k++) {
      this.#unit.fill(0);
      this.#unit[k] = 1;
      this.#backSolve(this.#unit, this.#solved);
      this.cell.covariance.set(this.#solved, k * this.#order);
    }
  }

  #gather(): void {
    const [diagonal, beside, right] = [this.#diagonal, this.#beside, this.#right];
    const { corners } = this.cell;
    const { w, x, xx, y, xy } = this.#sums;
    const last = this.#order - 1;
    diagonal.fill(0);
    right.fill(0);
    let from = countUpTo(this.#x, corners[0]!);
    diagonal[0] = w[from]!;
    right[0] = y[from]!;
    for (let k = 0; k < last; k++) {
      const start = corners[k]!;
      const length = corners[k + 1]! - start;
      const to = countUpTo(this.#x, corners[k + 1]!);
      const sumW = w[to]! - w[from]!;
      const sumX = x[to]! - x[from]!;
      const sumY = y[to]! - y[from]!;
      const t = (sumX - start * sumW) / length;
      const tt = (xx[to]! - xx[from]! - 2 * start * sumX + start * start * sumW) / (length * length);
      const ty = (xy[to]! - xy[from]! - start * sumY) / length;
      diagonal[k]! += sumW - 2 * t + tt;
      diagonal[k + 1]! += tt;
      beside[k] = t - tt;
      right[k]! += sumY - ty;
      right[k + 1]! += ty;
      from = to;
    }
    const end = w.length - 1;
    diagonal[last]! += w[end]! - w[from]!;
    right[last]! += y[end]! - y[from]!;
  }

  #factor(): boolean {
    const least = 1e-9 * this.#sums.w[this.#sums.w.length - 1]!;
    for (let k = 0; k < this.#order; k++) {
      const before = k > 0 ? this.#beside[k - 1]! ** 2 / this.#pivot[k - 1]! : 0;
      const pivot = this.#diagonal[k]! - before;
      if (!(pivot > least)) return false;
      this.#pivot[k] = pivot;
    }
    return true;
  }

  #backSolve(right: Float64Array, out: Float64Array): void {
    out[0] = right[0]!;
    for (let k = 1; k < this.#order; k++)
      out[k] = right[k]! - (this.#beside[k - 1]! / this.#pivot[k - 1]!) * out[k - 1]!;
    for (let k = this.#order - 1; k >= 0; k--) {
      const after = k < this.#order - 1 ? this.#beside[k]! * out[k + 1]! : 0;
      out[k] = (out[k]! - after) / this.#pivot[k]!;
    }
  }
}

/** How much each corner's level counts at one x: written to `weights`, which sum to 1. */
export function shapeAt(corners: ArrayLike<number>, x: number, weights: Float64Array): void {
  const last = corners.length - 1;
  weights.fill(0);
  if (x <= corners[0]!) weights[0] = 1;
  else if (x >= corners[last]!) weights[last] = 1;
  else {
    let k = 0;
    while (x > corners[k + 1]!) k++;
    const share = (x - corners[k]!) / (corners[k + 1]! - corners[k]!);
    weights[k] = 1 - share;
    weights[k + 1] = share;
  }
}

/** Calls `visit` at every rising choice of one corner from each list, with the places chosen.
 * @param lists ascending, one for each corner */
export function forEachCell(
  sweep: RampSweep,
  lists: readonly ArrayLike<number>[],
  leastLength: number,
  visit: (cell: SweepCell, choice: Int32Array) => void,
): void {
  const { corners } = sweep.cell;
  const choice = new Int32Array(lists.length);
  const descend = (depth: number): void => {
    if (depth === lists.length) {
      if (sweep.solve()) visit(sweep.cell, choice);
      return;
    }
    const list = lists[depth]!;
    for (let i = 0; i < list.length; i++) {
      if (depth > 0 && list[i]! < corners[depth - 1]! + leastLength) continue;
      corners[depth] = list[i]!;
      choice[depth] = i;
      descend(depth + 1);
    }
  };
  descend(0);
}
