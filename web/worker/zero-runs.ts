/** Finds drop-outs that no frame counter shows: runs of exact zeros on all channels amid a signal that otherwise has
 * none. Blocks in, finished runs out. Knows no clock.
 * @source Measured with a browser whose context and track rates differed: some 9 ms of zeros in the first second */

const SHORTEST_S = 0.002;
const LONGEST_S = 0.5; // longer is digital silence, which is told elsewhere
const MEMORY_S = 1;
const HIGHEST_USUAL_SHARE = 0.02; // a live converter's own noise is seldom exactly zero

export class ZeroRuns {
  readonly #rateHz: number;
  #run = 0;
  /** Share of zero frames outside runs, lately; a signal is not trusted to be live before it has shown itself. */
  #usualShare = 1;

  constructor(sampleRateHz: number) {
    this.#rateHz = sampleRateHz;
  }

  /** @param channels one array a channel, equal lengths
   *  @returns frames of the drop-outs that ended inside this block; 0 for none */
  take(channels: readonly Float32Array[]): number {
    const frames = channels[0]?.length ?? 0;
    let droppedFrames = 0;
    let strayZeros = 0;
    let heard = 0;
    for (let i = 0; i < frames; i++) {
      if (isZero(channels, i)) {
        this.#run++;
        continue;
      }
      heard++;
      if (this.#isDropOut(this.#run)) droppedFrames += this.#run;
      else if (this.#run < LONGEST_S * this.#rateHz) strayZeros += this.#run;
      this.#run = 0;
    }
    this.#learn(strayZeros, heard);
    return droppedFrames;
  }

  #isDropOut(frames: number): boolean {
    return (
      frames >= SHORTEST_S * this.#rateHz &&
      frames <= LONGEST_S * this.#rateHz &&
      this.#usualShare < HIGHEST_USUAL_SHARE
    );
  }

  #learn(zeros: number, heard: number): void {
    const frames = zeros + heard;
    if (frames === 0) return;
    const weight = Math.min(1, frames / (MEMORY_S * this.#rateHz));
    this.#usualShare += weight * (zeros / frames - this.#usualShare);
  }
}

function isZero(channels: readonly Float32Array[], frame: number): boolean {
  for (const channel of channels) if (channel[frame] !== 0) return false;
  return true;
}
