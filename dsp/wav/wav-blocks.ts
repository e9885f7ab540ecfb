/** Sample bytes in any pieces in, blocks of whole frames out, one Float32Array a channel. Knows no header and no end.
 * Its buffers are made once and filled again and again. */
import type { WavFormat } from './wav-format';
import { channelReader, swapBytes, type ReadChannel } from './wav-samples';

const MOST_BLOCK_FRAMES = 8192; // a block of one channel stays in the processor's cache
const MOST_STAGE_BYTES = 2 ** 20;

export class WavBlocks {
  frames = 0;
  /** Samples that were not numbers, given as 0. */
  notNumbers = 0;
  readonly #format: WavFormat;
  readonly #frameBytes: number;
  readonly #wanted: readonly number[];
  readonly #give: (channels: readonly Float32Array[]) => void;
  readonly #stage: Uint8Array<ArrayBuffer>;
  readonly #read: ReadChannel;
  readonly #blocks: readonly Float32Array[];
  #staged = 0;

  /** @param wanted channels to give, from 0; each must be in the format */
  constructor(
    format: WavFormat,
    wanted: readonly number[],
    give: (channels: readonly Float32Array[]) => void,
  ) {
    this.#format = format;
    this.#wanted = wanted;
    this.#give = give;
    this.#frameBytes = format.containerBytes * format.channelCount;
    const frames = Math.max(1, Math.min(MOST_BLOCK_FRAMES, Math.floor(MOST_STAGE_BYTES / this.#frameBytes)));
    const bytes = frames * this.#frameBytes;
    this.#stage = new Uint8Array(Math.ceil(bytes / 8) * 8).subarray(0, bytes); // 8: the widest view's step
    this.#read = channelReader(format, this.#stage);
    this.#blocks = wanted.map(() => new Float32Array(frames));
  }

  /** Takes all of `bytes`, giving a block whenever its buffer is full. */
  push(bytes: Uint8Array): void {
    for (let at = 0; at < bytes.length;) {
      const count = Math.min(bytes.length - at, this.#stage.length - this.#staged);
      this.#stage.set(bytes.subarray(at, at + count), this.#staged);
      this.#staged += count;
      at += count;
      if (this.#staged === this.#stage.length) this.flush();
    }
  }

  /** Gives the whole frames that wait; the start of a frame goes on waiting for its rest. */
  flush(): void {
    const frames = Math.floor(this.#staged / this.#frameBytes);
    if (frames === 0) return;
    const used = frames * this.#frameBytes;
    if (this.#format.bigEndian) swapBytes(this.#stage, this.#format.containerBytes, used);
    this.#wanted.forEach((channel, i) => (this.notNumbers += this.#read(channel, frames, this.#blocks[i]!)));
    this.#stage.copyWithin(0, used, this.#staged);
    this.#staged -= used;
    this.frames += frames;
    const whole = used === this.#stage.length;
    this.#give(whole ? this.#blocks : this.#blocks.map((block) => block.subarray(0, frames)));
  }
}
