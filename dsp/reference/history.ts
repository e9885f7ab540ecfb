/** The last seconds of one channel by frame number, lost frames counted as zeros: what the edges are measured on. */

export class History {
  readonly #samples: Float32Array;
  readonly #mask: number;
  /** Number of the frame after the newest. */
  end = 0;

  /** @param least frames that it must hold at least */
  constructor(least: number) {
    const size = 2 ** Math.ceil(Math.log2(Math.max(2, least)));
    this.#samples = new Float32Array(size);
    this.#mask = size - 1;
  }

  push(block: Float32Array): void {
    for (let n = 0; n < block.length; n++) this.#samples[this.end++ & this.#mask] = block[n]!;
  }

  lose(frames: number): void {
    const zeros = Math.min(frames, this.#samples.length);
    for (let n = 0; n < zeros; n++) this.#samples[(this.end + frames - zeros + n) & this.#mask] = 0;
    this.end += frames;
  }

  get oldest(): number {
    return Math.max(0, this.end - this.#samples.length);
  }

  /** @param frame from `oldest` to before `end` */
  at(frame: number): number {
    return this.#samples[frame & this.#mask]!;
  }
}
