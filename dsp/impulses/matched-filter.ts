/** The learnt shape run over the signal: at each sample, how tall a strike would stand there. In white noise no linear
 * filter tells better. Samples only; allocates nothing while it runs.
 * @source Turin, "An introduction to matched filters", IRE Trans. Information Theory 6 (1960) 311-329 (memory) */
import type { SampleRing } from '../sound/sample-ring';
import type { StrikeShape } from '../shape/shape';

export class MatchedFilter {
  readonly #weights: Float64Array;
  readonly #before: number;
  readonly #window: Float64Array;

  /** @param most so many samples are filtered at a time, at the most */
  constructor(
    private readonly shape: StrikeShape,
    most: number,
  ) {
    this.#weights = new Float64Array(shape.taps);
    this.#before = shape.before;
    this.#window = new Float64Array(most + shape.taps);
  }

  /** Samples that must have come after a place before its height is known. */
  get after(): number {
    return this.#weights.length - this.#before;
  }

  /** Takes the shape as it is now. */
  renew(): void {
    this.shape.tables.weightsInto(this.#weights);
  }

  /** @param from first sample @param count how many @param into their heights, times the shape's */
  run(ring: SampleRing, from: number, count: number, into: Float64Array): void {
    const { samples, mask } = ring;
    const weights = this.#weights;
    const window = this.#window;
    const taps = weights.length;
    const first = from - this.#before;
    for (let n = 0; n < count + taps; n++) window[n] = samples[(first + n) & mask]!;
    for (let n = 0; n < count; n++) {
      let sum = 0;
      for (let k = 0; k < taps; k++) sum += weights[k]! * window[n + k]!;
      into[n] = sum;
    }
  }
}
