/** The noise between impulses: smoothed samples in, their standard deviation out, whatever stands out of them. */
import type { PulseSpeed } from './condition';

/** Short enough that some stretches lie between the strikes of a racing engine. */
const STRETCH_S = { sharp: 0.5e-3, slow: 2e-3 } as const;
/** The share of stretches that is quieter than the level followed. */
const QUANTILE = { sharp: 0.35, slow: 0.15 } as const;
/** Nepers by which one stretch may move the level, once settled: a level that pumps by 20 dB a second is followed. */
const SETTLED_STEP = 0.02;
/** From that quantile of the mean magnitude to the standard deviation: √(π/2), and the quantile lies below the mean. */
const TO_DEVIATION = Math.sqrt(Math.PI / 2) * 1.07;

export class NoiseLevel {
  readonly #stretch: number;
  readonly #quantile: number;
  #sum = 0;
  #count = 0;
  #level = 0;
  #step = 1;

  constructor(sampleRateHz: number, pulses: PulseSpeed = 'sharp') {
    this.#quantile = QUANTILE[pulses];
    this.#stretch = Math.max(4, Math.round(STRETCH_S[pulses] * sampleRateHz));
  }
  /** Standard deviation of the noise; 0 before any came. */
  get deviation(): number {
    return this.#level * TO_DEVIATION;
  }
  run(smooth: Float64Array, length: number): void {
    for (let n = 0; n < length;) {
      const until = Math.min(length, n + this.#stretch - this.#count);
      let sum = 0;
      this.#count += until - n;
      for (; n < until; n++) sum += Math.abs(smooth[n]!);
      this.#sum += sum;
      if (this.#count === this.#stretch) this.#follow(this.#sum / this.#count);
    }
  }
  #follow(mean: number): void {
    this.#sum = this.#count = 0;
    if (this.#level < 1e-9) this.#level = mean;
    else this.#level *= Math.exp(this.#step * (mean > this.#level ? this.#quantile : this.#quantile - 1));
    this.#step = Math.max(SETTLED_STEP, this.#step * 0.9);
  }
}
