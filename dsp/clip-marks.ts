/** Where samples stood at full scale, lately: their numbers in, whether one stands near a place out. Memory of a fixed
 * size. */

/** Stretches of clipped samples that are remembered: seconds of the densest clipping there is. */
const KEPT = 4096;
/** Clipped samples so near each other are one stretch. */
const SAME = 8;

export class ClipMarks {
  readonly #first = new Float64Array(KEPT);
  readonly #last = new Float64Array(KEPT);
  #count = 0;

  /** @param sample number of a sample at full scale, rising */
  note(sample: number): void {
    const newest = (this.#count - 1) % KEPT;
    if (this.#count > 0 && sample - this.#last[newest]! <= SAME) {
      this.#last[newest] = sample;
      return;
    }
    const next = this.#count++ % KEPT;
    this.#first[next] = this.#last[next] = sample;
  }

  /** Whether a sample from one number to another stood at full scale. */
  within(from: number, to: number): boolean {
    for (let i = this.#count - 1; i >= Math.max(0, this.#count - KEPT); i--) {
      const at = i % KEPT;
      if (this.#last[at]! < from) return false;
      if (this.#first[at]! <= to) return true;
    }
    return false;
  }
}
