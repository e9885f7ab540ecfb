/** The last seconds of a signal, by sample number. Knows nothing of what they mean. */

export class SampleRing {
  readonly samples: Float32Array;
  readonly mask: number;
  end = 0;
  /** @param least how many samples it must hold at least */
  constructor(least: number) {
    const size = 2 ** Math.ceil(Math.log2(Math.max(2, least)));
    this.samples = new Float32Array(size);
    this.mask = size - 1;
  }
  push(block: Float64Array, length: number): void {
    const { samples, mask } = this;
    for (let n = 0; n < length; n++) samples[(this.end + n) & mask] = block[n]!;
    this.end += length;
  }
  /** Whether all samples from one to before another are there; before the first there were zeros. */
  holds(from: number, until: number): boolean {
    return from >= this.end - this.samples.length && until <= this.end;
  }
}

/** Taps to either side of the place between samples. */
const HALF = 8;
const PHASES = 512;
/** A sinc under a squared-cosine window, by place between samples and tap. @source Oppenheim & Schafer ch. 4 (memory) */
export const KERNEL_WEIGHTS = ((): Float64Array => {
  const weights = new Float64Array((PHASES + 1) * 2 * HALF);
  for (let p = 0; p <= PHASES; p++) {
    let sum = 0;
    for (let k = 0; k < 2 * HALF; k++) {
      const x = k - HALF + 1 - p / PHASES;
      const sinc = Math.abs(x) < 1e-12 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
      const window = Math.cos((Math.PI * x) / (2 * HALF)) ** 2;
      sum += weights[p * 2 * HALF + k] = sinc * window;
    }
    for (let k = 0; k < 2 * HALF; k++) weights[p * 2 * HALF + k]! /= sum;
  }
  return weights;
})();

/** Samples that one value between samples is made of, from the one so many before it on. */
export const KERNEL = 2 * HALF;
/** Where the weights for a place between samples begin. @param between 0 to 1 */
export const kernelAt = (between: number): number => Math.round(between * PHASES) * KERNEL;

/** Samples that interpolation needs beyond the places asked for. */
export const REACH = HALF;

/** Band-limited values between samples: `count` of them, one sample apart, from a place on.
 * @param into written from `at` on, every `stride` */
export function interpolate(
  ring: SampleRing,
  place: number,
  count: number,
  into: Float64Array,
  at: number,
  stride: number,
): void {
  const whole = Math.floor(place);
  const row = Math.round((place - whole) * PHASES) * 2 * HALF;
  const { samples, mask } = ring;
  for (let n = 0; n < count; n++) {
    let sum = 0;
    const from = whole + n - HALF + 1;
    for (let k = 0; k < 2 * HALF; k++) sum += KERNEL_WEIGHTS[row + k]! * samples[(from + k) & mask]!;
    into[at + n * stride] = sum;
  }
}
