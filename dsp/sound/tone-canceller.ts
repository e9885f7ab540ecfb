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
const TAP_RATE_HZ = 24_000;
/** Step of the normalised adaption: a tone is learnt in some tens of milliseconds. */
const STEP = 0.01;
/** Strikes stand out of tone and noise: beyond so many deviations a sample teaches no more than that. */
const CLIP_DEVIATIONS = 2.5;

/** A tone is looked for by how the sound agrees with itself some time later: longer than a strike rings, over half a
 * period of the lowest tone. */
const AGREE_FROM_S = 0.7e-3;
const AGREE_OVER_S = 0.5e-3;
const AGREE_LAGS = 12;
/** Past that is kept: a chunk of 5 ms and the longest look back from its start. */
const KEPT_S = 8e-3;
/** In every second chunk, smoothed over some of them. Noise and strikes stay below 0.15. */
const AGREE_EVERY = 2;
const AGREE_SMOOTHING = 0.2;
const STARTS_AT = 0.3;
const ENDS_AT = 0.15;

export class ToneCanceller {
  readonly #noise: NoiseLevel;
  readonly #spacing: number;
  readonly #delay: number;
  readonly #taps: number;
  readonly #weights: Float64Array;
  /** Clipped past samples, twice over so that a stretch of them never wraps. */
  readonly #past: Float64Array;
  readonly #size: number;
  readonly #lags: Int32Array;
  readonly #agreement = new Float64Array(AGREE_LAGS);
  #at = 0;
  #chunks = 0;
  #active = false;

  constructor(sampleRateHz: number) {
    this.#noise = new NoiseLevel(sampleRateHz);
    this.#spacing = Math.max(1, Math.round(sampleRateHz / TAP_RATE_HZ));
    this.#delay = Math.round(DELAY_S * sampleRateHz);
    this.#taps = Math.round((MEMORY_S * sampleRateHz) / this.#spacing);
    this.#weights = new Float64Array(this.#taps);
    this.#size = Math.round(KEPT_S * sampleRateHz);
    this.#past = new Float64Array(2 * this.#size);
    this.#lags = Int32Array.from({ length: AGREE_LAGS }, (_, i) =>
      Math.round((AGREE_FROM_S + (AGREE_OVER_S * i) / AGREE_LAGS) * sampleRateHz),
    );
  }

  /** Tones are taken out in place.
   * @param samples conditioned, any length @param length how many of them */
  run(samples: Float64Array, length: number): void {
    this.#noise.run(samples, length);
    const clip = CLIP_DEVIATIONS * this.#noise.deviation;
    if (this.#active) this.#cancel(samples, length, clip);
    else for (let n = 0; n < length; n++) this.#remember(samples[n]!, clip);
    if (this.#chunks++ % AGREE_EVERY === 0) this.#listen(length);
  }

  #remember(sample: number, clip: number): void {
    this.#past[this.#at] = this.#past[this.#at + this.#size] = clipped(sample, clip);
    if (++this.#at === this.#size) this.#at = 0;
  }

  #cancel(samples: Float64Array, length: number, clip: number): void {
    const leastPower = 1e-12 * this.#taps;
    const past = this.#past;
    const weights = this.#weights;
    const [taps, spacing] = [this.#taps, this.#spacing];
    for (let n = 0; n < length; n++) {
      const sample = samples[n]!;
      const newest = this.#at + this.#size - this.#delay;
      let foretold = 0;
      let power = leastPower;
      for (let k = 0, i = newest; k < taps; k++, i -= spacing) {
        const x = past[i]!;
        foretold += weights[k]! * x;
        power += x * x;
      }
      const left = sample - foretold;
      const gain = (STEP * clipped(left, clip)) / power;
      for (let k = 0, i = newest; k < taps; k++, i -= spacing) weights[k] = weights[k]! + gain * past[i]!;
      samples[n] = left;
      this.#remember(sample, clip);
    }
  }

  /** Starts and ends the work: most sound has no tone, and foretelling is the dearest sum of the chain. */
  #listen(length: number): void {
    const past = this.#past;
    const count = Math.min(length, this.#size - this.#lags[AGREE_LAGS - 1]!);
    const end = this.#at + this.#size;
    let most = 0;
    let power = 1e-12;
    for (let i = end - count; i < end; i++) power += past[i]! * past[i]!;
    for (let l = 0; l < AGREE_LAGS; l++) {
      const lag = this.#lags[l]!;
      let sum = 0;
      for (let i = end - count; i < end; i++) sum += past[i]! * past[i - lag]!;
      const was = this.#agreement[l]!;
      const now = (this.#agreement[l] = was + AGREE_SMOOTHING * (sum / power - was));
      most = Math.max(most, Math.abs(now));
    }
    if (this.#active && most < ENDS_AT) this.#weights.fill(0);
    this.#active = most > (this.#active ? ENDS_AT : STARTS_AT);
  }
}

const clipped = (sample: number, clip: number): number =>
  sample > clip ? clip : sample < -clip ? -clip : sample;
