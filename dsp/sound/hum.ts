/** Mains hum: raw samples in, its amplitude and whether 50 or 60 Hz out. Works at about 1 kHz, a fifth of a second at
 * a time: ten cycles of the one, twelve of the other. */

const SLOW_HZ = 1000;
const WINDOW_S = 0.2;
const WINDOWS = 5;
/** The two that are meant, and what must be lower beside them for a hum to stand out. */
const FREQUENCIES_HZ = [50, 60, 40, 45, 55, 65, 70] as const;
/** Times the tallest neighbour, and at least a step or two of 16 bits. */
const STANDS_OUT = 3;
const LEAST = 1e-4;

export class HumMeter {
  readonly #perSlow: number;
  readonly #perWindow: number;
  readonly #turn: readonly number[];
  readonly #re = new Float64Array(FREQUENCIES_HZ.length);
  readonly #im = new Float64Array(FREQUENCIES_HZ.length);
  /** Amplitudes of the last windows, by frequency. */
  readonly #past = FREQUENCIES_HZ.map(() => new Float64Array(WINDOWS));
  #sum = 0;
  #summed = 0;
  #slow = 0;
  #window = 0;

  constructor(sampleRateHz: number) {
    this.#perSlow = Math.max(1, Math.round(sampleRateHz / SLOW_HZ));
    const slowHz = sampleRateHz / this.#perSlow;
    this.#perWindow = Math.round(WINDOW_S * slowHz);
    this.#turn = FREQUENCIES_HZ.map((hz) => (2 * Math.PI * hz) / slowHz);
  }

  run(raw: Float32Array, length: number): void {
    for (let n = 0; n < length;) {
      const until = Math.min(length, n + this.#perSlow - this.#summed);
      let sum = 0;
      this.#summed += until - n;
      for (; n < until; n++) sum += raw[n]!;
      this.#sum += sum;
      if (this.#summed === this.#perSlow) this.#take(this.#sum / this.#perSlow);
    }
  }

  #take(value: number): void {
    this.#sum = this.#summed = 0;
    const place = (this.#slow + 0.5) / this.#perWindow;
    const weight = (1 - Math.cos(2 * Math.PI * place)) / 2; // a Hann window: an offset leaks into nothing
    for (let f = 0; f < this.#turn.length; f++) {
      const angle = this.#turn[f]! * this.#slow;
      this.#re[f]! += weight * value * Math.cos(angle);
      this.#im[f]! += weight * value * Math.sin(angle);
    }
    if (++this.#slow === this.#perWindow) this.#close();
  }

  #close(): void {
    for (let f = 0; f < this.#turn.length; f++) {
      this.#past[f]![this.#window % WINDOWS] = (4 / this.#perWindow) * Math.hypot(this.#re[f]!, this.#im[f]!);
      this.#re[f] = this.#im[f] = 0;
    }
    this.#slow = 0;
    this.#window++;
  }

  /** The hum of the last second; null where none stands out. */
  get hum(): { amplitude: number; hz: 50 | 60 } | null {
    const filled = Math.min(WINDOWS, this.#window);
    if (filled === 0) return null;
    const middle = this.#past.map((past) => past.slice(0, filled).sort()[Math.floor(filled / 2)]!);
    const [fifty, sixty] = [middle[0]!, middle[1]!];
    const amplitude = Math.max(fifty, sixty);
    const beside = Math.max(middle[2]!, middle[6]!);
    if (amplitude < LEAST || amplitude < STANDS_OUT * beside) return null;
    return { amplitude, hz: fifty >= sixty ? 50 : 60 };
  }
}
