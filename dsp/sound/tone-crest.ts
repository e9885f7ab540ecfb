/** Whether a steady tone stands in the sound: the last raw samples in, the crest of their spectrum out. Worked out only
 * when asked, a few times a second; samples are no more than kept. */
import Meyda from 'meyda';

const WINDOW = 2048;
/** A new answer only after so many new samples. */
const RENEW = 8192;

/** White noise gives 2.5 to 4.5, a tone that carries half of the power of 2048 samples some 25: the peak of a spectrum
 * over its root mean square. */
export const TONE_CREST = 12;

export class ToneCrest {
  readonly #ring = new Float32Array(WINDOW);
  readonly #window = new Float32Array(WINDOW);
  readonly #sampleRateHz: number;
  #samples = 0;
  #askedAt = -Infinity;
  #crest: number | null = null;

  constructor(sampleRateHz: number) {
    this.#sampleRateHz = sampleRateHz;
  }

  /** @param raw samples @param length how many of them */
  run(raw: Float32Array, length: number): void {
    for (let n = 0; n < length; n++) this.#ring[(this.#samples + n) & (WINDOW - 1)] = raw[n]!;
    this.#samples += length;
  }

  /** @returns null before enough samples came, and for silence
   * @source meyda, spectralCrest: the largest magnitude over the root mean square of the magnitudes */
  get crest(): number | null {
    if (this.#samples < WINDOW) return null;
    if (this.#samples - this.#askedAt >= RENEW) this.#measure();
    return this.#crest;
  }

  get steady(): boolean | null {
    return this.crest === null ? null : this.crest > TONE_CREST;
  }

  #measure(): void {
    this.#askedAt = this.#samples;
    const oldest = this.#samples & (WINDOW - 1);
    this.#window.set(this.#ring.subarray(oldest));
    this.#window.set(this.#ring.subarray(0, oldest), WINDOW - oldest);
    Meyda.bufferSize = WINDOW;
    Meyda.sampleRate = this.#sampleRateHz;
    Meyda.windowingFunction = 'hanning';
    const crest = Meyda.extract('spectralCrest', this.#window) as unknown;
    this.#crest = typeof crest === 'number' && Number.isFinite(crest) ? crest : null;
  }
}
