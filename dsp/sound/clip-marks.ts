/** Which samples stood at full scale, lately: their numbers in; whether one stands near a place, or all of them, out. Memory
 * of a fixed size; allocates nothing while it runs. */

/** Seconds of the densest clipping there is. */
const KEPT = 1 << 14;
const MASK = KEPT - 1;

export class ClipMarks {
  readonly #numbers = new Float64Array(KEPT);
  #end = 0;

  /** @param sample number of a sample at full scale, rising */
  note(sample: number): void {
    this.#numbers[this.#end++ & MASK] = sample;
  }

  /** Whether a sample from one number to another stood at full scale. */
  within(from: number, to: number): boolean {
    const last = this.#until(to);
    return last > this.#oldest && this.#numbers[(last - 1) & MASK]! >= from;
  }

  /** The samples at full scale from one number to another. @param into as many as it holds @returns how many there are */
  take(from: number, to: number, into: Float64Array): number {
    const last = this.#until(to);
    let first = last;
    while (first > this.#oldest && this.#numbers[(first - 1) & MASK]! >= from) first--;
    for (let k = 0; k < Math.min(last - first, into.length); k++)
      into[k] = this.#numbers[(first + k) & MASK]!;
    return last - first;
  }

  get #oldest(): number {
    return Math.max(0, this.#end - KEPT);
  }

  /** One after the last that is not beyond a number. */
  #until(to: number): number {
    let i = this.#end;
    while (i > this.#oldest && this.#numbers[(i - 1) & MASK]! > to) i--;
    return i;
  }
}
