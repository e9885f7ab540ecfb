/** Which samples of a made signal vanish: a recipe and random numbers in, stretches to skip and keep out. Knows counts
 * of samples only: `sample` counts what was made, `frame` what was handed out. */
import type { Random } from './random';
import type { LostRecipe } from './signal-recipe';

/** Samples that vanished before a frame of the signal handed out. */
export interface LostBlock {
  readonly frame: number;
  readonly samples: number;
}

export class LostSchedule {
  /** Frames handed out so far. */
  delivered = 0;
  readonly #ahead: LostBlock[] = [];
  readonly #past: LostBlock[] = [];
  #lastFrame = 0;

  constructor(
    private readonly recipe: LostRecipe | null,
    private readonly sampleRateHz: number,
    private readonly random: Random,
  ) {}

  /** The losses so far. */
  get blocks(): readonly LostBlock[] {
    return this.#past;
  }

  /** Draws losses until they lie beyond a frame. */
  #draw(untilFrame: number): void {
    if (!this.recipe?.perMinute) return;
    while (this.#lastFrame <= untilFrame) {
      const wait = this.random.wait((60 * this.sampleRateHz) / this.recipe.perMinute);
      this.#lastFrame += 1 + Math.floor(wait);
      const lengthS = this.random.between(this.recipe.shortestS, this.recipe.longestS);
      this.#ahead.push({ frame: this.#lastFrame, samples: Math.round(lengthS * this.sampleRateHz) });
    }
  }

  /** The sample that a frame not yet handed out shows. */
  sampleOf(frame: number): number {
    this.#draw(frame);
    return [...this.#past, ...this.#ahead].reduce(
      (sum, lost) => sum + (lost.frame <= frame ? lost.samples : 0),
      frame,
    );
  }

  /** Where a sample (any fraction) stands among the frames; null if it vanished. */
  frameOf(sample: number): number | null {
    let gone = 0;
    for (const lost of this.#past) {
      if (sample < lost.frame + gone) break;
      gone += lost.samples;
      if (sample < lost.frame + gone) return null;
    }
    return sample - gone;
  }

  /** The next stretch: samples to skip, then samples to keep, `frames` at the most. */
  next(frames: number): { skip: number; keep: number } {
    this.#draw(this.delivered + frames);
    let skip = 0;
    for (let first = this.#ahead[0]; first?.frame === this.delivered; first = this.#ahead[0]) {
      skip += first.samples;
      this.#past.push(this.#ahead.shift()!);
    }
    const untilNext = (this.#ahead[0]?.frame ?? Infinity) - this.delivered;
    const keep = Math.min(frames, untilNext);
    this.delivered += keep;
    return { skip, keep };
  }
}
