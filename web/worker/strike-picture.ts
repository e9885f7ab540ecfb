/** Remembers the last seconds of the clamp's channel, so that the signal about a strike can be shown: samples in, a
 * short stretch out. Memory of a fixed size. */

const MEMORY_S = 3;
const BEFORE_S = 0.001;
const AFTER_S = 0.003;

export class StrikePicture {
  readonly #rateHz: number;
  readonly #ring: Float32Array;
  /** Number of the sample that comes next, lost ones counted. */
  #next = 0;
  #lastLost = 0;

  constructor(sampleRateHz: number) {
    this.#rateHz = sampleRateHz;
    this.#ring = new Float32Array(Math.ceil(MEMORY_S * sampleRateHz));
  }

  push(samples: Float32Array): void {
    const size = this.#ring.length;
    for (let i = Math.max(0, samples.length - size); i < samples.length; i++)
      this.#ring[(this.#next + i) % size] = samples[i]!;
    this.#next += samples.length;
  }

  /** Samples that never came. */
  lose(samples: number): void {
    this.#next += samples;
    this.#lastLost = this.#next;
  }

  /** @param timeS when the strike was, seconds since the first sample
   *  @returns from 1 ms before it to 3 ms after; empty when that is no longer, or not yet, remembered */
  about(timeS: number): Float32Array<ArrayBuffer> {
    const from = Math.round((timeS - BEFORE_S) * this.#rateHz);
    const to = Math.round((timeS + AFTER_S) * this.#rateHz);
    const oldest = Math.max(this.#lastLost, this.#next - this.#ring.length, 0);
    if (!(from >= oldest && to <= this.#next)) return new Float32Array(0);
    return Float32Array.from({ length: to - from }, (_, i) => this.#ring[(from + i) % this.#ring.length]!);
  }
}
