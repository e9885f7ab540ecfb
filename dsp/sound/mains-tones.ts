/** One mains frequency and its harmonics: what they are by now in, what they will be at the next sample out, and learnt from
 * how far off that was. The grid's own frequency is followed. Allocates nothing while it runs.
 * @source Widrow et al., "Adaptive noise cancelling: principles and applications", Proc. IEEE 63 (1975) 1692-1716: the
 * adaptive notch with a pair of weights for each tone (from memory) */

/** Higher ones lie among the pulses' own frequencies and are small. */
const HARMONICS = 8;
/** A grid strays by a tenth of a hertz, a small generator by more; further off it is not hum that is followed. */
const MOST_STRAY_HZ = 0.5;
/** Of the rotation seen in a step so much is taken for the frequency. */
const FREQUENCY_SHARE = 0.05;

export class MainsTones {
  /** Weights of each harmonic's cosine and sine. */
  readonly #a = new Float64Array(HARMONICS);
  readonly #b = new Float64Array(HARMONICS);
  readonly #cos = new Float64Array(HARMONICS);
  readonly #sin = new Float64Array(HARMONICS);
  // the fundamental's place at the next sample, and its turn in one
  #re = 1;
  #im = 0;
  #turnRe = 1;
  #turnIm = 0;
  #strayHz = 0;
  /** Angle of the fundamental's weights at the step before. */
  #angle = 0;
  #wasHeard = false;
  /** Forth in time, or back. */
  #way: 1 | -1 = 1;

  constructor(
    private readonly hz: number,
    private readonly sampleRateHz: number,
  ) {
    this.#tune();
  }

  /** @returns what they add to the next sample */
  foretell(): number {
    const [cos, sin, a, b] = [this.#cos, this.#sin, this.#a, this.#b];
    let [c, s, sum] = [1, 0, 0];
    for (let k = 0; k < HARMONICS; k++) {
      const turned = c * this.#re - s * this.#im;
      s = c * this.#im + s * this.#re;
      c = turned;
      cos[k] = c;
      sin[k] = s;
      sum += a[k]! * c + b[k]! * s;
    }
    return sum;
  }

  /** Learns from the sample that was foretold last, and goes on to the next. @param off by how much it was larger, times
   * the gain */
  learn(off: number): void {
    if (off !== 0)
      for (let k = 0; k < HARMONICS; k++) {
        this.#a[k]! += off * this.#cos[k]!;
        this.#b[k]! += off * this.#sin[k]!;
      }
    this.#step();
  }

  /** Samples that never came: the mains went on. */
  lose(samples: number): void {
    const angle = Math.atan2(this.#im, this.#re) + samples * this.#radians;
    this.#re = Math.cos(angle);
    this.#im = Math.sin(angle);
  }

  /** The sample that was learnt from last is the next one, and time goes the other way from there. */
  turnBack(): void {
    this.#way = this.#way > 0 ? -1 : 1;
    this.#tune();
    this.#step();
    this.#wasHeard = false;
  }

  /** Mean square of what they add. */
  get power(): number {
    let sum = 0;
    for (let k = 0; k < HARMONICS; k++) sum += this.#a[k]! ** 2 + this.#b[k]! ** 2;
    return sum / 2;
  }

  /** Amplitude of the fundamental. */
  get amplitude(): number {
    return Math.hypot(this.#a[0]!, this.#b[0]!);
  }

  /** Now and then. The weights of tones at another frequency than this go round at the difference.
   * @param samples since the last time @param isHeard the fundamental stands out of the noise */
  follow(samples: number, isHeard: boolean): void {
    const angle = Math.atan2(-this.#b[0]!, this.#a[0]!);
    const round = angle - this.#angle - 2 * Math.PI * Math.round((angle - this.#angle) / (2 * Math.PI));
    this.#angle = angle;
    const seenHz =
      isHeard && this.#wasHeard
        ? (this.#way * round * this.sampleRateHz) / (2 * Math.PI * samples)
        : -this.#strayHz;
    this.#wasHeard = isHeard;
    const strayHz = this.#strayHz + FREQUENCY_SHARE * seenHz;
    this.#strayHz = Math.max(-MOST_STRAY_HZ, Math.min(MOST_STRAY_HZ, strayHz));
    this.#tune();
  }

  #step(): void {
    const re = this.#re * this.#turnRe - this.#im * this.#turnIm;
    this.#im = this.#re * this.#turnIm + this.#im * this.#turnRe;
    this.#re = re;
  }

  get #radians(): number {
    return (2 * Math.PI * (this.hz + this.#strayHz)) / this.sampleRateHz;
  }

  #tune(): void {
    // a phasor that is turned millions of times keeps its length
    const length = Math.hypot(this.#re, this.#im);
    this.#re /= length;
    this.#im /= length;
    this.#turnRe = Math.cos(this.#radians);
    this.#turnIm = Math.sin(this.#way * this.#radians);
  }
}
