/** Least, middle and greatest of any number of advances, and how far single sparks scatter, in the memory of one table.
 * Knows degrees only. */

export interface AdvanceRange {
  readonly minDeg: number;
  readonly medianDeg: number;
  readonly maxDeg: number;
  /** Standard deviation of a spark about its neighbours, what measuring adds taken out; null before two sparks. */
  readonly scatterDeg: number | null;
}

/** Bins of a hundredth of a degree over the whole circle. */
const BIN_DEG = 0.01;
const FIRST_DEG = -360;
const BINS = Math.ceil(-2 * (FIRST_DEG / BIN_DEG));
/** A normal variable's mean absolute difference from another of its kind is this times its standard deviation. */
const MEAN_DIFFERENCE = 2 / Math.sqrt(Math.PI);
/** A larger step from spark to spark is a change of cylinder or a mistake, no scatter. */
const LARGEST_STEP_DEG = 10;

export class AdvanceSpread {
  readonly #counts = new Uint32Array(BINS);
  #count = 0;
  #min = Infinity;
  #max = -Infinity;
  #last: number | null = null;
  #lastVariance = 0;
  #steps = 0;
  #measuredSum = 0;
  #stepSum = 0;

  /** @param sdDeg how far it may be off, a standard deviation */
  add(advanceDeg: number, sdDeg: number): void {
    this.#counts[Math.max(0, Math.min(BINS - 1, Math.floor((advanceDeg - FIRST_DEG) / BIN_DEG)))]!++;
    this.#count++;
    this.#min = Math.min(this.#min, advanceDeg);
    this.#max = Math.max(this.#max, advanceDeg);
    const step = this.#last === null ? Infinity : Math.abs(advanceDeg - this.#last);
    const stepVariance = (sdDeg ** 2 + this.#lastVariance) / 2;
    this.#last = advanceDeg;
    this.#lastVariance = sdDeg ** 2;
    if (step > LARGEST_STEP_DEG) return;
    this.#steps++;
    this.#measuredSum += stepVariance;
    this.#stepSum += step;
  }

  /** null before any advance. */
  get range(): AdvanceRange | null {
    if (this.#count === 0) return null;
    let below = 0;
    let bin = 0;
    for (; (below += this.#counts[bin]!) * 2 < this.#count; bin++);
    return {
      minDeg: this.#min,
      medianDeg: FIRST_DEG + (bin + 0.5) * BIN_DEG,
      maxDeg: this.#max,
      scatterDeg: this.#scatterDeg,
    };
  }

  get #scatterDeg(): number | null {
    if (this.#steps === 0) return null;
    const seen = this.#stepSum / this.#steps / MEAN_DIFFERENCE;
    return Math.sqrt(Math.max(0, seen ** 2 - this.#measuredSum / this.#steps));
  }
}
