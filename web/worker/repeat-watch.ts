/** Whether an input gives the same stretch of sound over and over, to the last bit, as one does whose driver hangs: it
 * looks like very fast, very even strikes. Blocks in, yes or no out. No sound from an engine ever repeats so. Knows no
 * clock; allocates nothing for a block. */

/** A driver's buffer is no longer, and no shorter. */
const LONGEST_FRAMES = 8192;
const SHORTEST_FRAMES = 16;
/** Told once so many stretches, and so many seconds, were the same. */
const STRETCHES = 3;
const LEAST_S = 0.1;
/** A stretch is looked for so often, by its last so many frames. */
const LOOK_EVERY_FRAMES = 1024;
const WINDOW_FRAMES = 64;
/** Of them so many differ from the one before: silence and a voltage that stands repeat by themselves. */
const FEWEST_CHANGES = 16;
/** Both channels in one number, which repeats as they do: by a share that is no simple one. */
const SECOND_SHARE = 0.7310585786300049;

const ROOM = 2 * LONGEST_FRAMES; // a power of two
const MASK = ROOM - 1;

export class RepeatWatch {
  readonly #kept = new Float64Array(ROOM);
  readonly #told: number;
  #frames = 0;
  #nextLook = LONGEST_FRAMES;
  /** Frames after which the sound repeats, 0: not known to; and how many frames did. */
  #period = 0;
  #same = 0;

  constructor(sampleRateHz: number) {
    this.#told = LEAST_S * sampleRateHz;
  }

  /** The sound up to now repeats. */
  get repeats(): boolean {
    return this.#period > 0 && this.#same >= Math.max(STRETCHES * this.#period, this.#told);
  }

  /** @param channels one array a channel, equal lengths @returns whether the sound repeats at the block's end */
  pass(channels: readonly Float32Array[]): boolean {
    const [first, second] = channels;
    if (!first) return false;
    for (let i = 0; i < first.length; i++) {
      const x = second ? first[i]! + SECOND_SHARE * second[i]! : first[i]!;
      if (this.#period > 0) this.#follow(x);
      this.#kept[this.#frames++ & MASK] = x;
    }
    if (this.#period === 0 && this.#frames >= this.#nextLook) this.#look();
    return this.repeats;
  }

  #follow(x: number): void {
    if (x === this.#kept[(this.#frames - this.#period) & MASK]) this.#same++;
    else this.#period = this.#same = 0;
  }

  #look(): void {
    this.#nextLook = this.#frames + LOOK_EVERY_FRAMES;
    if (!this.#changes()) return;
    for (let period = SHORTEST_FRAMES; period <= LONGEST_FRAMES - WINDOW_FRAMES; period++)
      if (this.#isSame(period)) {
        this.#period = period;
        return;
      }
  }

  #changes(): boolean {
    let changes = 0;
    for (let back = 1; back < WINDOW_FRAMES; back++) if (this.#at(back) !== this.#at(back + 1)) changes++;
    return changes >= FEWEST_CHANGES;
  }

  #isSame(period: number): boolean {
    for (let back = 1; back <= WINDOW_FRAMES; back++)
      if (this.#at(back) !== this.#at(back + period)) return false;
    return true;
  }

  /** @param back 1: the last frame */
  #at(back: number): number {
    return this.#kept[(this.#frames - back) & MASK]!;
  }
}
