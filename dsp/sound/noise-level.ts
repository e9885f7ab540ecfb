/** The noise between impulses: smoothed samples in, their standard deviation out, whatever stands out of them. */
import type { PulseSpeed } from './condition';

/** Short enough that some stretches lie between the strikes of a racing engine. */
const STRETCH_S = { sharp: 0.5e-3, slow: 2e-3 } as const;
/** The share of stretches that is quieter than the level followed. */
const QUANTILE = { sharp: 0.35, slow: 0.15 } as const;
/** Where strikes come so fast that one still rings as the next comes, only so few stretches lie between them. */
const QUIET_QUANTILE = 0.1;
/** In noise that quantile lies at 0.8 of the other. Where it lies at less than this by it, what lies between is ringing. */
const QUIET_IN_NOISE = 0.8;
const RINGS_BELOW = 0.62;
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
  #quiet = 0;
  #step = 1;

  constructor(sampleRateHz: number, pulses: PulseSpeed = 'sharp') {
    this.#quantile = QUANTILE[pulses];
    this.#stretch = Math.max(4, Math.round(STRETCH_S[pulses] * sampleRateHz));
  }
  /** Standard deviation of the noise; 0 before any came. */
  get deviation(): number {
    return this.#level * TO_DEVIATION;
  }
  /** The same where strikes ring all the time: by the few stretches between them that are quiet. */
  get deviationBesideRinging(): number {
    return (this.quietShare < RINGS_BELOW ? this.#quiet / QUIET_IN_NOISE : this.#level) * TO_DEVIATION;
  }
  /** Level of the few quiet stretches by the usual one's: 0.8 in noise or in a steady tone, less the more impulses ring. */
  get quietShare(): number {
    return this.#level > 0 ? this.#quiet / this.#level : 1;
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
    this.#level = this.#moved(this.#level, mean, this.#quantile);
    this.#quiet = this.#moved(this.#quiet, mean, QUIET_QUANTILE);
    this.#step = Math.max(SETTLED_STEP, this.#step * 0.9);
  }
  #moved(level: number, mean: number, quantile: number): number {
    if (level < 1e-9) return mean;
    return level * Math.exp(this.#step * (mean > level ? quantile : quantile - 1));
  }
}
