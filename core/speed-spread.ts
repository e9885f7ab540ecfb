/** Least, middle and greatest of any number of speeds, in the memory of one table. Knows rpm only. */

export interface RpmRange {
  readonly min: number;
  readonly median: number;
  readonly max: number;
}

/** Bins a thousandth apart by ratio, from 10 to 100 000 rpm: the middle is right to half of that, and then refined by
 * the mean of its bin. */
const FIRST_RPM = 10;
const BINS = Math.ceil(Math.log(1e4) / 1e-3);

export class SpeedSpread {
  readonly #counts = new Uint32Array(BINS);
  readonly #sums = new Float64Array(BINS);
  #count = 0;
  #min = Infinity;
  #max = 0;

  add(rpm: number): void {
    const bin = Math.max(0, Math.min(BINS - 1, Math.floor(Math.log(rpm / FIRST_RPM) / 1e-3)));
    this.#counts[bin]!++;
    this.#sums[bin]! += rpm;
    this.#count++;
    this.#min = Math.min(this.#min, rpm);
    this.#max = Math.max(this.#max, rpm);
  }

  /** null before any speed. */
  get range(): RpmRange | null {
    if (this.#count === 0) return null;
    let below = 0;
    let bin = 0;
    for (; (below += this.#counts[bin]!) * 2 < this.#count; bin++);
    return { min: this.#min, median: this.#sums[bin]! / this.#counts[bin]!, max: this.#max };
  }
}
