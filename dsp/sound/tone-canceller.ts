/** Takes steady tones (the alternator's whine, what hum is left) out of conditioned samples and leaves strikes: what can
 * be foretold from samples further back than a strike lasts is subtracted. Knows hertz only. Allocates nothing while it
 * runs. The level of the noise is followed block by block: the chain gives it blocks of one size.
 * @source Widrow et al., "Adaptive noise cancelling: principles and applications", Proc. IEEE 63 (1975) 1692-1716: the
 * line enhancer with a decorrelating delay (from memory); its weights by least squares over the last blocks */
import { NoiseLevel } from './noise-level';
import { ToneEquations } from './tone-equations';

/** Longer than a strike rings, shorter than its kick comes after it. */
const DELAY_S = 0.7e-3;
/** The past that foretells: long enough to part tones some hundred hertz from each other. */
const MEMORY_S = 3e-3;
/** Taps need stand no closer than this: what is foretold lies below 12 kHz. */
const TAP_RATE_HZ = 24_000;
/** What came so long ago counts for 1/e: the whine follows the engine. */
const FADES_S = 20e-3;
/** By so much of the noise's variance weights are held down. */
const RIDGE = 0.3;
/** Strikes stand out of the noise: what is foretold, and so many deviations, are taken for what is under them. */
const CLIP_DEVIATIONS = 3;
/** Blocks longer than this are cut. */
const BLOCK_S = 8e-3;

/** A tone is looked for by how the sound agrees with itself some time later, each time over a quarter of a period of the
 * lowest tone: when most strikes have rung out, when all have, and twice between, since kicks and the strikes of many leads may
 * come as fast one after the other; they leave gaps, and a tone leaves none. */
const AGREE_FROM_S = [0.7e-3, 1.3e-3, 1.75e-3, 2.2e-3] as const;
const AGREE_OVER_S = 0.25e-3;
const AGREE_LAGS = 6;
/** In every second block, smoothed over some of them. Noise and strikes stay below 0.15. */
const AGREE_EVERY = 2;
const AGREE_SMOOTHING = 0.2;
const STARTS_AT = 0.3;
const ENDS_AT = 0.15;
/** Beside a tone the quiet stretches are no quieter than this by the usual ones: where the work starts, and where it goes on. */
const QUIET_TO_START = 0.74;
const QUIET_TO_STAY = 0.66;
/** Tones that beat leave quiet stretches as well. But only of strikes that ring so does so much stand out of the noise. */
const CLIPPED_BY_RINGING = 0.04;

export class ToneCanceller {
  /** Of the sound, and of what is left without tones. */
  readonly #noise: NoiseLevel;
  readonly #rest: NoiseLevel;
  readonly #equations: ToneEquations;
  /** The past without its strikes, then the block's samples. */
  readonly #calm: Float64Array;
  readonly #kept: number;
  readonly #most: number;
  readonly #spacing: number;
  readonly #left: Float64Array;
  readonly #came: Float64Array;
  readonly #fades: number;
  readonly #lags: Int32Array;
  readonly #agreement = new Float64Array(AGREE_FROM_S.length * AGREE_LAGS);
  /** Share of the samples that stand out of the noise, smoothed. */
  #clipped = 0;
  #blocks = 0;
  #active = false;

  constructor(sampleRateHz: number) {
    const spacing = (this.#spacing = Math.max(1, Math.round(sampleRateHz / TAP_RATE_HZ)));
    this.#left = new Float64Array(spacing);
    this.#came = new Float64Array(spacing);
    const taps = Math.round((MEMORY_S * sampleRateHz) / spacing);
    this.#noise = new NoiseLevel(sampleRateHz);
    this.#rest = new NoiseLevel(sampleRateHz);
    this.#equations = new ToneEquations(Math.round(DELAY_S * sampleRateHz), spacing, taps);
    this.#kept = this.#equations.reach;
    this.#most = Math.ceil(BLOCK_S * sampleRateHz);
    this.#fades = FADES_S * sampleRateHz;
    this.#calm = new Float64Array(this.#kept + this.#most);
    this.#lags = Int32Array.from(this.#agreement, (_, i) => {
      const laterS = (AGREE_OVER_S * (i % AGREE_LAGS)) / AGREE_LAGS;
      return Math.round((AGREE_FROM_S[Math.floor(i / AGREE_LAGS)]! + laterS) * sampleRateHz);
    });
  }

  /** Tones are taken out in place.
   * @param samples conditioned, any length @param length how many of them */
  run(samples: Float64Array, length: number): void {
    this.#noise.run(samples, length);
    for (let at = 0; at < length; at += this.#most) this.#run(samples, at, Math.min(this.#most, length - at));
  }

  #run(samples: Float64Array, at: number, length: number): void {
    if (this.#blocks % AGREE_EVERY === 0) this.#countClipped(samples, at, length);
    if (this.#active) this.#cancel(samples, at, length);
    else this.#remember(samples, at, length);
    if (this.#blocks++ % AGREE_EVERY === 0) this.#listen(length);
    this.#calm.copyWithin(0, length, length + this.#kept);
  }

  #countClipped(samples: Float64Array, at: number, length: number): void {
    const clip = CLIP_DEVIATIONS * this.#noise.deviation;
    let count = 0;
    for (let n = 0; n < length; n++) if (Math.abs(samples[at + n]!) > clip) count++;
    this.#clipped += AGREE_SMOOTHING * (count / length - this.#clipped);
  }

  /** The block with its strikes cut down. @param from @param every its first sample, and every how many-th after it */
  #remember(samples: Float64Array, at: number, length: number, from = 0, every = 1): void {
    const clip = CLIP_DEVIATIONS * this.#noise.deviation;
    for (let n = from; n < length; n += every) this.#calm[this.#kept + n] = clipped(samples[at + n]!, clip);
  }

  #cancel(samples: Float64Array, at: number, length: number): void {
    const calm = this.#calm;
    const kept = this.#kept;
    const equations = this.#equations;
    const noise = this.#rest.deviation;
    this.#calmDown(samples, at, length, CLIP_DEVIATIONS * noise);
    // where the tone was lost nothing may be made of what is foretold; samples between taps may have lost it alone
    for (let from = 0; from < this.#spacing; from++)
      if (this.#left[from]! >= this.#came[from]!) this.#remember(samples, at, length, from, this.#spacing);
    equations.take(calm, kept, kept + length, Math.exp(-length / this.#fades));
    equations.solve(RIDGE * noise * noise);
    for (let n = 0; n < length; n++) samples[at + n] = samples[at + n]! - this.#foretell(n);
    this.#rest.run(at === 0 ? samples : samples.subarray(at), length);
  }

  /** No tone is louder than the sound that it stands in. */
  #foretell(n: number): number {
    return clipped(
      this.#equations.foretell(this.#calm, this.#kept + n),
      CLIP_DEVIATIONS * this.#noise.deviation,
    );
  }

  /** The block without its strikes, by what is foretold; how much is left of what came, by place between taps. */
  #calmDown(samples: Float64Array, at: number, length: number, clip: number): void {
    this.#left.fill(0);
    this.#came.fill(0);
    for (let n = 0; n < length; n++) {
      const sample = samples[at + n]!;
      const foretold = this.#foretell(n);
      const off = clipped(sample - foretold, clip);
      this.#calm[this.#kept + n] = foretold + off;
      this.#left[n % this.#spacing]! += Math.abs(off);
      this.#came[n % this.#spacing]! += Math.abs(clipped(sample, clip));
    }
  }

  /** Whether strikes come so fast that each rings until the next: they agree with themselves as a tone does, but a tone
   * leaves no stretch quiet. */
  get #rings(): boolean {
    return (
      this.#clipped > CLIPPED_BY_RINGING &&
      this.#noise.quietShare < (this.#active ? QUIET_TO_STAY : QUIET_TO_START)
    );
  }

  /** Starts and ends the work: most sound has no tone, and foretelling is the dearest sum of the chain. */
  #listen(length: number): void {
    const calm = this.#calm;
    const [from, until] = [this.#kept, this.#kept + length];
    let power = 1e-12;
    for (let i = from; i < until; i++) power += calm[i]! * calm[i]!;
    let least = Infinity;
    for (let first = 0; first < this.#lags.length; first += AGREE_LAGS) {
      let most = 0;
      for (let l = first; l < first + AGREE_LAGS; l++) {
        const lag = this.#lags[l]!;
        let sum = 0;
        for (let i = from; i < until; i++) sum += calm[i]! * calm[i - lag]!;
        const was = this.#agreement[l]!;
        const now = (this.#agreement[l] = was + AGREE_SMOOTHING * (sum / power - was));
        most = Math.max(most, Math.abs(now));
      }
      least = Math.min(least, most);
    }
    const isTone = least > (this.#active ? ENDS_AT : STARTS_AT) && !this.#rings;
    if (this.#active && !isTone) this.#equations.clear();
    this.#active = isTone;
  }
}

const clipped = (sample: number, clip: number): number =>
  sample > clip ? clip : sample < -clip ? -clip : sample;
