/** Takes steady tones (the alternator's whine, what hum is left) out of conditioned samples and leaves strikes: what can
 * be foretold from samples further back than a strike lasts is subtracted. Knows hertz only. Allocates nothing while it
 * runs. The level of the noise is followed block by block: the chain gives it blocks of one size.
 * @source Widrow et al., "Adaptive noise cancelling: principles and applications", Proc. IEEE 63 (1975) 1692-1716: the
 * adaptive line enhancer with a decorrelating delay; normalised least mean squares (from memory) */
import { NoiseLevel } from './noise-level';

/** Longer than a strike rings, shorter than its kick comes after it. */
const DELAY_S = 0.7e-3;
/** The past that foretells: long enough to part tones some hundred hertz from each other. */
const MEMORY_S = 1.5e-3;
/** Taps need stand no closer than this: what is foretold lies below 12 kHz. */
const TAP_RATE_HZ = 32_000;
/** Step of the normalised adaption: a tone is learnt in some tens of milliseconds. */
const STEP = 0.01;
/** Strikes stand out of tone and noise: beyond so many deviations a sample teaches no more than that. */
const CLIP_DEVIATIONS = 2.5;

export class ToneCanceller {
  readonly #noise: NoiseLevel;
  readonly #spacing: number;
  readonly #delay: number;
  readonly #taps: number;
  readonly #weights: Float64Array;
  /** Clipped past samples, twice over so that a stretch of them never wraps. */
  readonly #past: Float64Array;
  readonly #size: number;
  #at = 0;

  constructor(sampleRateHz: number) {
    this.#noise = new NoiseLevel(sampleRateHz);
    this.#spacing = Math.max(1, Math.floor(sampleRateHz / TAP_RATE_HZ));
    this.#delay = Math.round(DELAY_S * sampleRateHz);
    this.#taps = Math.round((MEMORY_S * sampleRateHz) / this.#spacing);
    this.#weights = new Float64Array(this.#taps);
    this.#size = this.#delay + this.#taps * this.#spacing;
    this.#past = new Float64Array(2 * this.#size);
  }

  /** Tones are taken out in place.
   * @param samples conditioned, any length @param length how many of them */
  run(samples: Float64Array, length: number): void {
    this.#noise.run(samples, length);
    const clip = CLIP_DEVIATIONS * this.#noise.deviation;
    const leastPower = 1e-12 * this.#taps;
    const past = this.#past;
    const weights = this.#weights;
    const [taps, spacing, size] = [this.#taps, this.#spacing, this.#size];
    for (let n = 0; n < length; n++) {
      const sample = samples[n]!;
      const newest = this.#at + size - this.#delay;
      let foretold = 0;
      let power = leastPower;
      for (let k = 0, i = newest; k < taps; k++, i -= spacing) {
        const x = past[i]!;
        foretold += weights[k]! * x;
        power += x * x;
      }
      const left = sample - foretold;
      const gain = (STEP * (left > clip ? clip : left < -clip ? -clip : left)) / power;
      for (let k = 0, i = newest; k < taps; k++, i -= spacing) weights[k] = weights[k]! + gain * past[i]!;
      samples[n] = left;
      past[this.#at] = past[this.#at + size] = sample > clip ? clip : sample < -clip ? -clip : sample;
      if (++this.#at === size) this.#at = 0;
    }
  }
}
