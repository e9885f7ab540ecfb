/** How a sound is foretold from its own past: samples in, weights of the past by least squares out. What was heard lately
 * counts most. Knows hertz of nothing; allocates nothing while it runs.
 * @source the covariance method of linear prediction, its sums moved along the diagonals: Makhoul, "Linear prediction: a
 * tutorial review", Proc. IEEE 63 (1975) 561-580 (from memory); by Cholesky's root */

/** Nothing is told by less than this share of the loudest, whatever the noise. */
const LEAST_RIDGE = 1e-10;

export class ToneEquations {
  readonly weights: Float64Array;
  /** Sums of products of the past with itself, lower half by rows; with what came; and the root of the first. */
  readonly #past: Float64Array;
  readonly #came: Float64Array;
  readonly #root: Float64Array;
  #count = 0;

  /** @param delay from what comes to the newest sample that foretells it @param spacing samples between taps
   * @param taps how many */
  constructor(
    private readonly delay: number,
    private readonly spacing: number,
    private readonly taps: number,
  ) {
    this.weights = new Float64Array(taps);
    this.#past = new Float64Array(taps * taps);
    this.#came = new Float64Array(taps);
    this.#root = new Float64Array(taps * taps);
  }

  clear(): void {
    this.weights.fill(0);
    this.#past.fill(0);
    this.#came.fill(0);
    this.#count = 0;
  }

  /** Samples before one that must be there: what foretells it, and a spacing more. */
  get reach(): number {
    return this.delay + this.spacing * this.taps;
  }

  /** What is foretold for a sample. */
  foretell(x: Float64Array, n: number): number {
    const { weights, spacing, taps } = this;
    let sum = 0;
    for (let k = 0, i = n - this.delay; k < taps; k++, i -= spacing) sum += weights[k]! * x[i]!;
    return sum;
  }

  /** Samples from one to before another came. @param kept what came before counts for so much less */
  take(x: Float64Array, from: number, until: number, kept: number): void {
    const { delay, spacing, taps } = this;
    this.#count = kept * this.#count + until - from;
    for (let k = 0; k < taps; k++) {
      const lag = k * spacing;
      let [came, past] = [0, 0];
      for (let n = from; n < until; n++) {
        const then = x[n - delay - lag]!;
        came += x[n]! * then;
        past += x[n - delay]! * then;
      }
      this.#came[k] = kept * this.#came[k]! + came;
      this.#along(x, from - delay, until - delay, lag, past, kept);
    }
  }

  /** One diagonal: each sum is the one before it, moved by a spacing. */
  #along(x: Float64Array, from: number, until: number, lag: number, first: number, kept: number): void {
    const { spacing, taps } = this;
    const past = this.#past;
    let sum = first;
    for (let j = 0, i = lag / spacing; i < taps; i++, j++, from -= spacing, until -= spacing) {
      past[i * taps + j] = kept * past[i * taps + j]! + sum;
      for (let n = 1; n <= spacing; n++)
        sum += x[from - n]! * x[from - n - lag]! - x[until - n]! * x[until - n - lag]!;
    }
  }

  /** Weights anew. @param ridge variance that is added to the past's, so that noise foretells nothing */
  solve(ridge: number): void {
    if (!this.#takeRoot(this.#count * ridge)) return;
    const { taps, weights } = this;
    const root = this.#root;
    for (let i = 0; i < taps; i++) {
      let sum = this.#came[i]!;
      for (let k = 0; k < i; k++) sum -= root[i * taps + k]! * weights[k]!;
      weights[i] = sum / root[i * taps + i]!;
    }
    for (let i = taps - 1; i >= 0; i--) {
      let sum = weights[i]!;
      for (let k = i + 1; k < taps; k++) sum -= root[k * taps + i]! * weights[k]!;
      weights[i] = sum / root[i * taps + i]!;
    }
  }

  #takeRoot(ridge: number): boolean {
    const { taps } = this;
    const [past, root] = [this.#past, this.#root];
    const added = ridge + LEAST_RIDGE * past[0]!;
    for (let i = 0; i < taps; i++) {
      const row = i * taps;
      for (let j = 0; j < i; j++) {
        const other = j * taps;
        let sum = past[row + j]!;
        for (let k = 0; k < j; k++) sum -= root[row + k]! * root[other + k]!;
        root[row + j] = sum / root[other + j]!;
      }
      let sum = past[row + i]! + added;
      for (let k = 0; k < i; k++) sum -= root[row + k]! * root[row + k]!;
      if (!(sum > 0)) return false;
      root[row + i] = Math.sqrt(sum);
    }
    return true;
  }
}
