/** Finds drop-outs that no frame counter shows: runs of exact zeros on all channels amid a signal that otherwise has
 * few. Blocks in, their stretches out. Knows no clock.
 * @source Measured with Chromium: an input on a busy machine, or one whose rate is not the context's, now and then gives
 * 10 ms of zeros, and what follows comes that much later */

export interface Stretch {
  /** First frame, and the frame after the last. */
  readonly from: number;
  readonly to: number;
  readonly isDropOut: boolean;
}

const SHORTEST_S = 0.002;
const LONGEST_S = 0.5; // longer is digital silence, which is told elsewhere
const MEMORY_S = 1;
/** With this share of single zeros a run of 2 ms at 44.1 kHz comes by chance once in 1e19 frames. */
const HIGHEST_USUAL_SHARE = 0.6;

export class ZeroRuns {
  readonly #rateHz: number;
  /** Zero frames in a row up to now. */
  #run = 0;
  /** Share of zero frames outside runs, lately; a signal is not trusted to be live before it has shown itself. */
  #usualShare = 1;

  constructor(sampleRateHz: number) {
    this.#rateHz = sampleRateHz;
  }

  /** @param channels one array a channel, equal lengths
   *  @returns the block's stretches in order, covering it: sound, and drop-outs from where they are known to be ones */
  split(channels: readonly Float32Array[]): Stretch[] {
    const frames = channels[0]?.length ?? 0;
    const stretches: { from: number; to: number; isDropOut: boolean }[] = [];
    let open: { from: number; to: number; isDropOut: boolean } | undefined;
    let [zeros, heard] = [0, 0];
    for (let i = 0; i < frames; i++) {
      const isZero = isZeroAt(channels, i);
      this.#run = isZero ? this.#run + 1 : 0;
      const isDropOut = isZero && this.#isDropOut();
      if (open?.isDropOut !== isDropOut) stretches.push((open = { from: i, to: i, isDropOut }));
      open.to = i + 1;
      if (!isDropOut) heard++;
      if (isZero && !isDropOut) zeros++;
    }
    this.#learn(zeros, heard);
    return stretches;
  }

  #isDropOut(): boolean {
    const seconds = this.#run / this.#rateHz;
    return seconds >= SHORTEST_S && seconds <= LONGEST_S && this.#usualShare < HIGHEST_USUAL_SHARE;
  }

  #learn(zeros: number, frames: number): void {
    if (frames === 0) return;
    const weight = Math.min(1, frames / (MEMORY_S * this.#rateHz));
    this.#usualShare += weight * (zeros / frames - this.#usualShare);
  }
}

function isZeroAt(channels: readonly Float32Array[], frame: number): boolean {
  for (const channel of channels) if (channel[frame] !== 0) return false;
  return true;
}
