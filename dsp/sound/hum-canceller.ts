/** Takes the mains' hum with its harmonics out of samples among which short pulses stand, and leaves the pulses as they are:
 * a high-pass that takes hum's harmonics would take a slow pulse's shape with them. Samples in and out, the same whatever
 * the block size, a little late; later by a quarter of a second at first and where hum begins, when it is known what hums
 * there. Sound without hum passes untouched. Allocates nothing while it runs. */
import { MainsTones } from './mains-tones';

/** Mains frequencies of the world [IEC 60038]. */
const MAINS_HZ = [50, 60] as const;
/** The first samples are learnt from, so many times forth and back, before any is handed on, and likewise those from where
 * another hum begins: what takes hum for pulses tells them wrong and follows it for long. */
const FIRST_S = 0.25;
const FIRST_TIMES = 8;
/** Hum is followed so fast: at first a tenth of a second parts one mains frequency from the other; later slowly, so that
 * noise adds little. */
const LEARNS_S = 0.1;
const FOLLOWS_S = 0.15;
/** What stands out by more than so many times the usual is a pulse, and teaches nothing of the hum. White noise stays below
 * it in 98 of 100 samples, hum with strong harmonics always. */
const OUTSTANDING = 3;
/** Where, over so long, more than this share stands out, other hum has begun, or ended: of what goes on as it was no more
 * than a third can be above three times its mean (Markov's inequality). The last samples are held back for that long. */
const OTHER_OVER_S = 8e-3;
const OTHER_SHARE = 0.5;
const HELD_S = 20e-3;
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
  readonly #outstands: number;
  /** What waits, as heard and without hum: a ring of `#count` samples from `#from` on. */
  readonly #heard: Float32Array;
  readonly #left: Float32Array;
  readonly #held: number;
  readonly #quiet = new Float32Array(BLOCK_FRAMES);
  #from = 0;
  #count = 0;
  /** Of those that wait, how many came before another hum. */
  #before = 0;
  #filled = 0;
  /** Until the ring is full it is not known what hums. */
  #isLearning = true;
  #isFirst = true;
  /** Samples over which is averaged. */
  #over = Infinity;
  #since = 0;
  /** Mean size of what is left without hum. */
  #usual = 0;
  /** Of the last samples, those that stand out. */
  #outstanding = 0;
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
    this.#outstands = 1 / (OTHER_OVER_S * sampleRateHz);
    this.#heard = new Float32Array(Math.round(FIRST_S * sampleRateHz));
    this.#left = new Float32Array(this.#heard.length);
    this.#held = Math.round(HELD_S * sampleRateHz);
  }

  /** @param samples full scale ±1, any length */
  push(samples: Float32Array): void {
    for (let n = 0; n < samples.length; n++) this.#take(samples[n]!);
    this.#flush();
  }

  /** Samples that never came: the mains went on. */
  lose(samples: number): void {
    this.finish();
    for (const tones of this.#tones) tones.lose(samples);
  }

  /** Hands over what waits. */
  finish(): void {
    if (this.#isLearning && this.#count > 0) this.#begin();
    this.#handOn(0);
    this.#flush();
  }

  #take(sample: number): void {
    const at = this.#at(this.#count++);
    this.#heard[at] = sample;
    if (this.#isLearning) {
      if (this.#count === this.#heard.length) this.#begin();
      return;
    }
    this.#left[at] = this.#next(sample);
    this.#handOn(this.#held);
    if (this.#outstanding > OTHER_SHARE) this.#learnAnew();
  }

  /** Where the nth sample that waits stands in the ring. */
  #at(n: number): number {
    const at = this.#from + n;
    return at < this.#heard.length ? at : at - this.#heard.length;
  }

  /** Goes back to the oldest sample that waits; what hums after those is learnt once there is enough of it. */
  #learnAnew(): void {
    this.#isLearning = true;
    this.#before = this.#count;
    this.#back(Infinity);
  }

  #begin(): void {
    this.#isLearning = false;
    this.#usual = 0;
    const count = this.#count - this.#before;
    for (let n = this.#before; n < this.#count; n++)
      this.#usual += Math.abs(this.#heard[this.#at(n)]!) / count;
    const share = this.#share;
    for (let time = 0; time < FIRST_TIMES; time++) {
      this.#forth(LEARNS_S * this.sampleRateHz);
      this.#back(LEARNS_S * this.sampleRateHz);
    }
    this.#share = this.#isFirst ? +this.#isOn : share;
    this.#isFirst = false;
    this.#forth(FOLLOWS_S * this.sampleRateHz);
    this.#outstanding = 0;
    this.#handOn(this.#held);
  }

  /** From the oldest sample that waits to after the newest. @param over samples over which is averaged */
  #forth(over: number): void {
    for (let n = 0; n < this.#count; n++) this.#leave(n, over);
    this.#over = over;
  }

  /** The other way. */
  #back(over: number): void {
    this.#turnBack();
    for (let n = this.#count - 1; n >= 0; n--) this.#leave(n, over);
    this.#turnBack();
  }

  /** Nothing is learnt from those that came before another hum. */
  #leave(n: number, over: number): void {
    this.#over = n < this.#before ? Infinity : over;
    const at = this.#at(n);
    this.#left[at] = this.#next(this.#heard[at]!);
  }

  /** Forth and back there is no break at which what was learnt of a grid that strays would be wrong. */
  #turnBack(): void {
    for (const tones of this.#tones) tones.turnBack();
    this.#since = 0;
  }

  /** @param held so many of the last samples stay */
  #handOn(held: number): void {
    for (; this.#count > held; this.#count--) {
      this.#quiet[this.#filled++] = this.#left[this.#from]!;
      this.#from = this.#at(1);
      if (this.#filled === BLOCK_FRAMES) this.#flush();
    }
  }

  #flush(): void {
    if (this.#filled > 0) this.onQuiet(this.#quiet.subarray(0, this.#filled));
    this.#filled = 0;
  }

  #next(sample: number): number {
    const [one, other] = this.#tones;
    const hum = one.foretell() + other.foretell();
    const off = sample - hum;
    const size = Math.abs(off);
    const isOutstanding = size > OUTSTANDING * this.#usual;
    const counted = isOutstanding ? 0 : (2 * off) / this.#over;
    this.#outstanding += this.#outstands * (+isOutstanding - this.#outstanding);
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
