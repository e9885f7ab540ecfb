/** Takes out drop-outs that no frame counter shows: runs of exact zeros on all channels amid a signal that otherwise has
 * few. Blocks in; sound without them, and their lengths, out. Knows no clock.
 * @source Measured with Chromium on a busy machine: now and then an input gives 10 ms of zeros, and what follows mostly
 * comes that much later, nothing of it missing; sometimes it is missing. Taken out, most intervals between strikes are
 * right again, to 0.1 µs; the others are off by as much as is counted. */

export interface ZeroRunsSink {
  samples(channels: readonly Float32Array[]): void;
  /** A drop-out of so many frames was taken out. */
  droppedOut(frames: number): void;
}

const SHORTEST_S = 0.002;
const LONGEST_S = 0.5; // longer is digital silence, which is told elsewhere
const MEMORY_S = 0.5;
/** With more zeros than this the silence between strikes may be digital: a run of them is no drop-out. */
const HIGHEST_USUAL_SHARE = 0.3;

export class ZeroRuns {
  readonly #sink: ZeroRunsSink;
  readonly #shortest: number;
  readonly #longest: number;
  readonly #memory: number;
  /** Zero frames in a row up to now, and how many of them are held back until it is known what they are. */
  #run = 0;
  #held = 0;
  /** The present run goes on as sound. */
  #isSound = true;
  /** Share of zero frames outside drop-outs, lately; a signal is not trusted to be live before it has shown itself. */
  #usualShare = 1;

  constructor(sampleRateHz: number, sink: ZeroRunsSink) {
    this.#sink = sink;
    this.#shortest = SHORTEST_S * sampleRateHz;
    this.#longest = LONGEST_S * sampleRateHz;
    this.#memory = MEMORY_S * sampleRateHz;
  }

  /** @param channels one array a channel, equal lengths; handed on whole where there is nothing to take out */
  pass(channels: readonly Float32Array[]): void {
    const frames = channels[0]?.length ?? 0;
    let [from, runFrom, heard] = [0, 0, 0];
    for (let i = 0; i < frames; i++) {
      if (isZeroAt(channels, i)) {
        if (this.#run++ === 0) [runFrom, this.#isSound] = [i, this.#usualShare >= HIGHEST_USUAL_SHARE];
        continue;
      }
      heard++;
      if (this.#run > 0) from = this.#endRun(channels, from, runFrom, i);
    }
    this.#learn(0, heard);
    const holdsBack = this.#run > 0 && !this.#isSound;
    this.#hand(channels, from, holdsBack ? runFrom : frames);
    if (holdsBack) this.#hold(frames - runFrom, channels.length);
  }

  /** @returns from where sound waits to be handed on */
  #endRun(channels: readonly Float32Array[], from: number, runFrom: number, end: number): number {
    const run = this.#run;
    this.#run = 0;
    if (this.#isSound || run < this.#shortest) {
      this.#release(channels.length);
      this.#learn(run, run);
      return from;
    }
    this.#hand(channels, from, runFrom);
    this.#held = 0;
    this.#sink.droppedOut(run);
    return end;
  }

  #hold(frames: number, channelCount: number): void {
    this.#held += frames;
    if (this.#run <= this.#longest) return;
    this.#release(channelCount); // not a drop-out but silence
    this.#isSound = true;
  }

  /** The zeros held back were sound. */
  #release(channelCount: number): void {
    const held = this.#held;
    this.#held = 0;
    if (held > 0) this.#sink.samples(Array.from({ length: channelCount }, () => new Float32Array(held)));
  }

  #hand(channels: readonly Float32Array[], from: number, to: number): void {
    if (from === 0 && to === channels[0]?.length) this.#sink.samples(channels);
    else if (to > from) this.#sink.samples(channels.map((channel) => channel.subarray(from, to)));
  }

  #learn(zeros: number, frames: number): void {
    if (frames === 0) return;
    const weight = Math.min(1, frames / this.#memory);
    this.#usualShare += weight * (zeros / frames - this.#usualShare);
  }
}

function isZeroAt(channels: readonly Float32Array[], frame: number): boolean {
  for (const channel of channels) if (channel[frame] !== 0) return false;
  return true;
}
