/** Finds impulses: smoothed samples in, candidates of either sign out, each at its peak between samples. Knows the
 * noise, knows no rate. Allocates nothing while it runs. */
import type { Candidates } from './candidates';
import type { PulseSpeed } from '../sound/condition';
import { NoiseLevel } from '../sound/noise-level';

/** What the samples are: conditioned ones for sharp strikes or slow pulses, or heights by a learnt shape. */
type Looked = PulseSpeed | 'weak';

/** Times the noise's standard deviation: white noise passes it some times a second. By the learnt shape, where the beat
 * tells what is due when, hundreds of times, and a strike 12 dB up stays below it once in some hundred times. */
const OVER_NOISE = { sharp: 4, slow: 3, weak: 2 } as const;
/** Below the converter's own steps at 16 bits nothing is found; a sensor gives more than a wire's hum. */
const LEAST_PEAK = { sharp: 4e-5, slow: 4e-4, weak: 4e-5 } as const;
/** A higher peak of the same sign so soon after another belongs to the same impulse. */
const MERGE_S = { sharp: 0.3e-3, slow: 1.2e-3, weak: 0.25e-3 } as const;
/** What follows an impulse must stand above its ringing, which dies so fast. */
const RINGING_S = { sharp: 0.3e-3, slow: 0.6e-3, weak: 0.02e-3 } as const;
/** Scatter of a peak's time from a parabola, samples; and in noise, seconds for the noise by the peak. */
const PARABOLA_SAMPLES = 0.03;
const NOISE_S = 25e-6;

/** Peaks of one sign. */
class OneSign {
  /** Peak that waits for a higher one: 0 none. */
  peak = 0;
  timeSample = 0;
  sample = 0;
  #ringPeak = 0;
  #ringSample = 0;
  constructor(
    readonly sign: 1 | -1,
    private readonly ringSamples: number,
  ) {}
  /** Whether a height at a sample stands above the ringing of what came before. */
  standsOut(height: number, sample: number): boolean {
    return (
      height > this.#ringPeak * Math.exp((this.#ringSample - sample) / this.ringSamples) && height > this.peak
    );
  }
  take(height: number, offset: number, sample: number): void {
    this.peak = height;
    this.sample = sample;
    this.timeSample = sample + offset;
  }
  done(): void {
    this.#ringPeak = this.peak;
    this.#ringSample = this.sample;
    this.peak = 0;
  }
}

export class Detector {
  readonly noise: NoiseLevel;
  readonly #signs: readonly [OneSign, OneSign];
  readonly #mergeSamples: number;
  readonly #overNoise: number;
  /** By the learnt shape a strike stands upright. */
  readonly #bothSigns: boolean;
  readonly #rings: boolean;
  readonly #leastPeak: number;
  /** What stands so tall is looked at however loud the noise seems: where strikes come so fast that one rings until the next,
   * their ringing is taken for noise. */
  tallEnough = Infinity;
  #last = 0;
  #beforeLast = 0;
  #mutedUntil = 0;
  #waiting = 0;

  constructor(
    private readonly sampleRateHz: number,
    private readonly out: Candidates,
    pulses: Looked,
  ) {
    this.noise = new NoiseLevel(sampleRateHz, pulses === 'slow' ? 'slow' : 'sharp');
    this.#rings = pulses === 'sharp';
    this.#bothSigns = pulses !== 'weak';
    const ring = RINGING_S[pulses] * sampleRateHz;
    this.#signs = [new OneSign(1, ring), new OneSign(-1, ring)];
    this.#overNoise = OVER_NOISE[pulses];
    this.#leastPeak = LEAST_PEAK[pulses];
    this.#mergeSamples = Math.ceil(MERGE_S[pulses] * sampleRateHz);
  }

  /** Nothing is taken for an impulse before this sample: what stands there is the filter settling. */
  muteUntil(sample: number): void {
    this.#mutedUntil = sample;
  }

  /** @param smooth the conditioned block @param start number of its first sample @param lostBefore lost samples so far */
  run(smooth: Float64Array, length: number, start: number, lostBefore: number): void {
    this.noise.run(smooth, length);
    const threshold = Math.max(this.#leastPeak, Math.min(this.tallEnough, this.#overNoise * this.#deviation));
    const both = this.#bothSigns;
    let left = this.#beforeLast;
    let mid = this.#last;
    for (let n = 0; n < length; n++) {
      const right = smooth[n]!;
      const height = mid < 0 && both ? -mid : mid;
      if (height > threshold) this.#consider(left, mid, right, start + n - 1);
      if (this.#waiting > 0) this.#settle(start + n, lostBefore);
      left = mid;
      mid = right;
    }
    this.#beforeLast = left;
    this.#last = mid;
  }

  /** A sharp strike is followed by the clamp's ringing; a slow pulse, or what the learnt shape makes of samples, is not. */
  get #deviation(): number {
    return this.#rings ? this.noise.deviationBesideRinging : this.noise.deviation;
  }

  /** Hands over what waits. */
  flush(lostBefore: number): void {
    for (const one of this.#signs) if (one.peak > 0) this.#give(one, lostBefore);
  }

  #consider(left: number, mid: number, right: number, sample: number): void {
    const one = this.#signs[mid > 0 ? 0 : 1];
    const [a, b, c] = [left * one.sign, mid * one.sign, right * one.sign];
    if (b < a || b <= c || sample < this.#mutedUntil || !one.standsOut(b, sample)) return;
    const bend = a - 2 * b + c;
    const offset = bend < 0 ? (0.5 * (a - c)) / bend : 0;
    if (one.peak === 0) this.#waiting++;
    one.take(b - 0.25 * (a - c) * offset, offset, sample);
  }

  #settle(sample: number, lostBefore: number): void {
    const [up, down] = this.#signs;
    const early = up.peak > 0 && (down.peak === 0 || up.sample <= down.sample) ? up : down;
    if (early.peak > 0 && sample - early.sample > this.#mergeSamples) this.#give(early, lostBefore);
  }

  #give(one: OneSign, lostBefore: number): void {
    this.#waiting--;
    const timeS = (one.timeSample + lostBefore) / this.sampleRateHz;
    const noise = this.#deviation;
    const scatterS = Math.hypot(PARABOLA_SAMPLES / this.sampleRateHz, (NOISE_S * noise) / one.peak);
    this.out.add(timeS, one.peak, one.sign, noise, one.timeSample, scatterS * scatterS);
    one.done();
  }
}
