/** Checks what a live source sends: sound blocks in; samples, lost stretches and new segments out, all counted.
 * Knows no strikes. */
import type { SoundBlock } from './analysis-api';
import { RepeatWatch } from './repeat-watch';
import { ZeroRuns } from './zero-runs';

export interface IntakeSink {
  /** One array a channel, as many as at the last `segment`. */
  samples(channels: readonly Float32Array[]): void;
  /** Frames that never came: time goes on. */
  lose(frames: number): void;
  /** What comes now does not join what came before. */
  segment(): void;
}

const LONGEST_STILL_S = 1; // a busy machine may hold a block back that long
const IDENTICAL_S = 2;

export class BlockIntake {
  channelCount = 0;
  lostBlocks = 0;
  lostFrames = 0;
  unheardS = 0;
  readonly #rateHz: number;
  readonly #sink: IntakeSink;
  readonly #zeros: ZeroRuns | null;
  readonly #repeats: RepeatWatch | null;
  #nextFrame: number | null = null;
  #lastAtMs = 0;
  #sameFrames = 0;
  #differed = false;

  /** @param source drop-outs as zeros, and a driver that hangs, are looked for on a line input only */
  constructor(sampleRateHz: number, source: 'line input' | 'practice engine', sink: IntakeSink) {
    this.#rateHz = sampleRateHz;
    this.#sink = sink;
    const isInput = source === 'line input';
    this.#zeros = isInput ? this.#newZeroRuns(sampleRateHz) : null;
    this.#repeats = isInput ? new RepeatWatch(sampleRateHz) : null;
  }

  /** Left and right the same in every sample of the last seconds; null for one channel or while it is not known. */
  get channelsIdentical(): boolean | null {
    if (this.channelCount < 2) return null;
    if (this.#sameFrames >= IDENTICAL_S * this.#rateHz) return true;
    return this.#differed ? false : null;
  }

  /** The input gives the same stretch over and over: what it sends is no sound. */
  get repeats(): boolean {
    return this.#repeats?.repeats ?? false;
  }

  take(block: SoundBlock): void {
    const frames = block.channels[0]?.length ?? 0;
    if (frames === 0) return;
    this.#join(block, block.endFrame - frames);
    this.#compare(block.channels);
    this.#hand(block.channels, frames);
    this.#nextFrame = block.endFrame;
    this.#lastAtMs = block.atMs;
  }

  /** Sound that stuttered or was dropped before the source could count its frames. */
  noteDropped(frames: number): void {
    if (frames <= 0) return;
    this.lostBlocks++;
    this.lostFrames += frames;
  }

  #join(block: SoundBlock, startFrame: number): void {
    const before = this.#nextFrame;
    if (before !== null && startFrame > before) this.#lose(startFrame - before);
    if (before !== null) this.#passSleep(block, block.endFrame - before);
    const changed = block.channels.length !== this.channelCount;
    if (before === null || startFrame < before || changed) this.#startSegment(block.channels.length);
  }

  #hand(channels: readonly Float32Array[], frames: number): void {
    const repeated = this.repeats;
    if (this.#repeats?.pass(channels)) this.#lose(frames, !repeated);
    else if (this.#zeros) this.#zeros.pass(channels);
    else this.#sink.samples(channels);
  }

  #newZeroRuns(sampleRateHz: number): ZeroRuns {
    return new ZeroRuns(sampleRateHz, {
      samples: (channels) => this.#sink.samples(channels),
      droppedOut: (frames) => this.noteDropped(frames),
    });
  }

  /** @param anew it does not go on from what was lost before */
  #lose(frames: number, anew = true): void {
    if (anew) this.lostBlocks++;
    this.lostFrames += frames;
    this.#sink.lose(frames);
  }

  /** The frames join but the clock went on without them: nothing was heard in between. */
  #passSleep(block: SoundBlock, framesSince: number): void {
    const stillS = (block.atMs - this.#lastAtMs) / 1000 - framesSince / this.#rateHz;
    if (!(stillS > LONGEST_STILL_S)) return;
    this.unheardS += stillS;
    this.#sink.lose(Math.round(stillS * this.#rateHz));
  }

  #startSegment(channelCount: number): void {
    this.channelCount = channelCount;
    this.#sameFrames = 0;
    this.#differed = false;
    this.#sink.segment();
  }

  #compare(channels: readonly Float32Array[]): void {
    const [left, right] = channels;
    if (!left || !right) return;
    let heard = false;
    for (let i = 0; i < left.length; i++) {
      if (left[i] !== right[i]) {
        this.#sameFrames = 0;
        this.#differed = true;
        return;
      }
      heard ||= left[i] !== 0;
    }
    if (heard) this.#sameFrames += left.length; // two silent channels say nothing
  }
}
