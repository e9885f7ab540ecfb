/** Takes the mains' hum and its harmonics out of samples among which short pulses stand: an oscillator at each frequency,
 * its two amplitudes followed by least mean squares. Samples in and out; allocates nothing while it runs.
 * @source Widrow et al., Proc. IEEE 63 (1975) 1692-1716: the adaptive notch (memory) */

/** Mains frequencies of the world [IEC 60038], and how many harmonics tell. */
const MAINS_HZ = [50, 60] as const;
const HARMONICS = 8;
/** Amplitudes follow within so long: mains stray by a twentieth of a hertz, and what an oscillator lags by then is a sixtieth
 * of the hum. */
const FOLLOWS_S = 0.05;
/** What stands out by more than so many times the middle size is a pulse, and counts nothing: else of pulses that come as
 * often as the mains turn a part would go too. A sine's crest stands 1.41 times above its middle size. */
const OUTSTANDING = 4;
/** The middle size is followed within so long, from this on, share of full scale, and never falls below the least. */
const MIDDLE_FOLLOWS_S = 0.05;
const MIDDLE_AT_FIRST = 0.01;
const LEAST_MIDDLE = 1e-7;

export class HumCanceller {
  readonly #cos: Float64Array;
  readonly #sin: Float64Array;
  readonly #turnCos: Float64Array;
  readonly #turnSin: Float64Array;
  readonly #a: Float64Array;
  readonly #b: Float64Array;
  readonly #gain: number;
  readonly #grows: number;
  /** The middle size of what is left, by its magnitude: half of the samples stand below. */
  #middle = MIDDLE_AT_FIRST;

  constructor(sampleRateHz: number) {
    const turns = MAINS_HZ.flatMap((hz) =>
      Array.from({ length: HARMONICS }, (_, k) => (2 * Math.PI * hz * (k + 1)) / sampleRateHz),
    );
    this.#turnCos = Float64Array.from(turns, Math.cos);
    this.#turnSin = Float64Array.from(turns, Math.sin);
    this.#cos = new Float64Array(turns.length).fill(1);
    this.#sin = new Float64Array(turns.length);
    this.#a = new Float64Array(turns.length);
    this.#b = new Float64Array(turns.length);
    this.#gain = 2 / (FOLLOWS_S * sampleRateHz);
    this.#grows = 1 / (MIDDLE_FOLLOWS_S * sampleRateHz);
  }

  /** @param into where the samples go without hum, as many */
  run(samples: Float32Array, into: Float32Array): void {
    for (let n = 0; n < samples.length; n++) into[n] = this.#next(samples[n]!);
  }

  #next(sample: number): number {
    const [cos, sin, a, b] = [this.#cos, this.#sin, this.#a, this.#b];
    let left = sample;
    for (let k = 0; k < cos.length; k++) left -= a[k]! * cos[k]! + b[k]! * sin[k]!;
    const size = Math.abs(left);
    this.#middle = Math.max(
      LEAST_MIDDLE,
      this.#middle * (size > this.#middle ? 1 + this.#grows : 1 - this.#grows),
    );
    const counted = size < OUTSTANDING * this.#middle ? this.#gain * left : 0;
    for (let k = 0; k < cos.length; k++) {
      const [c, s] = [cos[k]!, sin[k]!];
      a[k]! += counted * c;
      b[k]! += counted * s;
      cos[k] = c * this.#turnCos[k]! - s * this.#turnSin[k]!;
      sin[k] = s * this.#turnCos[k]! + c * this.#turnSin[k]!;
    }
    return left;
  }
}
