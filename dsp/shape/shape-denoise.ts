/** Takes from a learnt shape what is but the noise of the strikes it was learnt from: each of its frequencies is kept as
 * far as it stands out of that noise. Points in, points out; allocates nothing while it runs.
 * @source Wiener's filter with the spectrum estimated by subtraction; Lim & Oppenheim, Proc. IEEE 67 (1979) 1586-1604
 * (memory) */

/** Neighbouring frequencies are judged together. */
const REACH = 1;

export class ShapeDenoise {
  readonly #bins: number;
  readonly #cos: Float64Array;
  readonly #sin: Float64Array;
  readonly #re: Float64Array;
  readonly #im: Float64Array;

  /** @param length of the shape in points @param fine points a sample */
  constructor(
    private readonly length: number,
    private readonly fine: number,
  ) {
    this.#bins = Math.floor(length / fine / 2) + 1;
    this.#cos = Float64Array.from({ length }, (_, j) => Math.cos((2 * Math.PI * j) / length));
    this.#sin = Float64Array.from({ length }, (_, j) => Math.sin((2 * Math.PI * j) / length));
    this.#re = new Float64Array(this.#bins);
    this.#im = new Float64Array(this.#bins);
  }

  /** @param shape points @param noiseVar variance of the noise in each, white up to half the sample rate
   * @param into where the result goes */
  run(shape: Float64Array, noiseVar: number, into: Float64Array): void {
    this.#transform(shape);
    into.fill(0);
    const noise = this.fine * this.length * noiseVar;
    for (let k = 0; k < this.#bins; k++) {
      const power = this.#powerAbout(k);
      const kept = (power <= 2 * noise ? 0 : 1 - (2 * noise) / power) * (k === 0 ? 1 : 2);
      if (kept > 0) this.#add(k, kept / this.length, into);
    }
  }

  #transform(shape: Float64Array): void {
    const { length } = this;
    for (let k = 0; k < this.#bins; k++) {
      let [re, im] = [0, 0];
      for (let j = 0, turn = 0; j < length; j++) {
        re += shape[j]! * this.#cos[turn]!;
        im -= shape[j]! * this.#sin[turn]!;
        turn += k;
        if (turn >= length) turn -= length;
      }
      this.#re[k] = re;
      this.#im[k] = im;
    }
  }

  #powerAbout(k: number): number {
    let [sum, count] = [0, 0];
    for (let n = Math.max(0, k - REACH); n <= Math.min(this.#bins - 1, k + REACH); n++, count++)
      sum += this.#re[n]! * this.#re[n]! + this.#im[n]! * this.#im[n]!;
    return sum / count;
  }

  #add(k: number, scale: number, into: Float64Array): void {
    const { length } = this;
    const [re, im] = [scale * this.#re[k]!, scale * this.#im[k]!];
    for (let j = 0, turn = 0; j < length; j++) {
      into[j] = into[j]! + re * this.#cos[turn]! - im * this.#sin[turn]!;
      turn += k;
      if (turn >= length) turn -= length;
    }
  }
}
