/** Takes the mains' hum with its harmonics out of samples among which short pulses stand, and leaves the pulses as they are:
 * a high-pass that takes hum's harmonics would take a slow pulse's shape with them. Samples in and out, the same whatever
 * the block size; the first quarter of a second comes late, when it is known what hums in it. Sound without hum passes
 * untouched. Allocates nothing while it runs. */
import { MainsTones } from './mains-tones';

/** Mains frequencies of the world [IEC 60038]. */
const MAINS_HZ = [50, 60] as const;
/** The first samples are learnt from, so many times forth and back, before any is handed on: what takes hum for pulses at
 * first follows it for seconds. */
const FIRST_S = 0.25;
const FIRST_TIMES = 8;
/** Hum is followed so fast: at first a tenth of a second parts one mains frequency from the other; later slowly, so that
 * noise adds little. */
const LEARNS_S = 0.1;
const FOLLOWS_S = 0.15;
/** What stands out by more than so many times the usual is a pulse, and teaches nothing of the hum. White noise stays below
 * it in 98 of 100 samples, hum with strong harmonics always. */
const OUTSTANDING = 3;
/** Hum is taken out once its root mean square is above this share of the mean size of what else is heard, until it is below
 * the other: less of it moves no edge by more than noise does. */
const STARTS_AT = 0.5;
const ENDS_AT = 0.25;
/** That is asked for once in so long, and the canceller fades in and out: a step would look like a pulse. */
const ASKED_EVERY_S = 0.02;
const FADES_S = 0.01;
/** The grid that hums is the one whose fundamental is so many times the other's. */
const CLEARLY = 4;
const BLOCK_FRAMES = 1024;

export class HumCanceller {
  readonly #tones: readonly [MainsTones, MainsTones];
  readonly #askedEvery: number;
  readonly #fade: number;
  readonly #first: Float32Array;
  readonly #quiet = new Float32Array(BLOCK_FRAMES);
  #waiting = 0;
  #isFirst = true;
  /** Samples over which is averaged. */
  #over: number;
  #since = 0;
  /** Mean size of what is left without hum. */
  #usual = 0;
  #isOn = false;
  /** Share of the hum that is taken out. */
  #share = 0;

  /** @param onQuiet told of the samples without hum, in order: the same array each time, copy what is kept */
  constructor(
    private readonly sampleRateHz: number,
    private readonly onQuiet: (samples: Float32Array) => void,
  ) {
    const [one, other] = MAINS_HZ;
    this.#tones = [new MainsTones(one, sampleRateHz), new MainsTones(other, sampleRateHz)];
    this.#askedEvery = Math.round(ASKED_EVERY_S * sampleRateHz);
    this.#fade = 1 / (FADES_S * sampleRateHz);
    this.#first = new Float32Array(Math.round(FIRST_S * sampleRateHz));
    this.#over = LEARNS_S * sampleRateHz;
  }

  /** @param samples full scale ±1, any length */
  push(samples: Float32Array): void {
    const taken = this.#isFirst ? Math.min(samples.length, this.#first.length - this.#waiting) : 0;
    this.#first.set(samples.subarray(0, taken), this.#waiting);
    this.#waiting += taken;
    if (this.#isFirst && this.#waiting === this.#first.length) this.#begin();
    this.#run(samples.subarray(taken));
  }

  /** Samples that never came: the mains went on. */
  lose(samples: number): void {
    this.finish();
    for (const tones of this.#tones) tones.lose(samples);
  }

  /** Hands over what waits. */
  finish(): void {
    if (this.#isFirst && this.#waiting > 0) this.#begin();
  }

  #begin(): void {
    const first = this.#first.subarray(0, this.#waiting);
    this.#isFirst = false;
    for (let n = 0; n < first.length; n++) this.#usual += Math.abs(first[n]!) / first.length;
    for (let time = 0; time < FIRST_TIMES; time++) {
      for (let n = 0; n < first.length; n++) this.#next(first[n]!);
      this.#turnBack();
      for (let n = first.length - 1; n >= 0; n--) this.#next(first[n]!);
      this.#turnBack();
    }
    this.#over = FOLLOWS_S * this.sampleRateHz;
    this.#share = +this.#isOn;
    this.#run(first);
  }

  /** Forth and back there is no break at which what was learnt of a grid that strays would be wrong. */
  #turnBack(): void {
    for (const tones of this.#tones) tones.turnBack();
    this.#since = 0;
  }

  #run(samples: Float32Array): void {
    for (let at = 0; at < samples.length; at += BLOCK_FRAMES) {
      const length = Math.min(BLOCK_FRAMES, samples.length - at);
      for (let n = 0; n < length; n++) this.#quiet[n] = this.#next(samples[at + n]!);
      this.onQuiet(this.#quiet.subarray(0, length));
    }
  }

  #next(sample: number): number {
    const [one, other] = this.#tones;
    const hum = one.foretell() + other.foretell();
    const off = sample - hum;
    const size = Math.abs(off);
    const counted = size > OUTSTANDING * this.#usual ? 0 : (2 * off) / this.#over;
    this.#usual += (size - this.#usual) / this.#over;
    one.learn(counted);
    other.learn(counted);
    this.#share += this.#fade * (+this.#isOn - this.#share);
    if (++this.#since === this.#askedEvery) this.#ask();
    return sample - this.#share * hum;
  }

  /** One grid hums: while it is not clear which, what one has goes round in the other's weights. */
  #follow(): void {
    const [one, other] = this.#tones;
    const [a, b] = [one.amplitude, other.amplitude];
    one.follow(this.#since, a > Math.max(this.#usual, CLEARLY * b));
    other.follow(this.#since, b > Math.max(this.#usual, CLEARLY * a));
  }

  #ask(): void {
    const power = this.#tones[0].power + this.#tones[1].power;
    const least = (this.#isOn ? ENDS_AT : STARTS_AT) * this.#usual;
    this.#isOn = power > least * least;
    this.#follow();
    if (!this.#isOn && this.#share < 1e-9) this.#share = 0;
    this.#since = 0;
  }
}
