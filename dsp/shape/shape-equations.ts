/** The strike's shape by least squares: strikes with their places, heights and what must not count in, points of the shape
 * out. The shape is band-limited, one unknown a sample. Allocates nothing while it runs. */
import { interpolate, KERNEL, KERNEL_WEIGHTS, kernelAt, REACH, SampleRing } from '../sound/sample-ring';
import { FINE } from './shape-tables';

/** Samples that the shape's points go beyond the compared stretch, either way. */
const SPARE = 2;
/** What no strike tells stays as it was: by so much of what one strike of height 1 tells. */
const HOLD = 1e-3;
/** Beyond the stretch there is nothing to go by but that strikes have ends. */
const HOLD_ENDS = 1e-2;

export class ShapeEquations {
  readonly #unknowns: number;
  /** Normal equations, lower half by rows, and their root. */
  readonly #matrix: Float64Array;
  readonly #root: Float64Array;
  readonly #right: Float64Array;
  readonly #vector: Float64Array;
  readonly #shape: SampleRing;
  #scale = 1;

  /** @param taps samples compared */
  constructor(private readonly taps: number) {
    const unknowns = taps + 2 * (SPARE + REACH);
    this.#unknowns = unknowns;
    this.#matrix = new Float64Array(unknowns * unknowns);
    this.#root = new Float64Array(unknowns * unknowns);
    this.#right = new Float64Array(unknowns);
    this.#vector = new Float64Array(unknowns);
    this.#shape = new SampleRing(unknowns);
  }

  clear(): void {
    this.#matrix.fill(0);
    this.#right.fill(0);
    this.#scale = 0;
  }

  /** @param stretch samples @param off how far its middle lies after the strike's place @param amplitude its height
   * @param gain what came before counts for so much less @param basis orthonormal, by tap: what must not count
   * @param count of them */
  add(
    stretch: Float64Array,
    off: number,
    amplitude: number,
    gain: number,
    basis: Float64Array,
    count: number,
  ): void {
    if (gain > 0) this.#fade(1 - gain);
    const whole = Math.floor(off);
    const row = kernelAt(off - whole);
    const first = SPARE + REACH + whole - KERNEL / 2 + 1;
    this.#scale += amplitude * amplitude;
    this.#addStretch(stretch, row, first, amplitude);
    for (let k = 0; k < count; k++) this.#takeOff(stretch, basis, k * this.taps, row, first, amplitude);
  }

  #fade(by: number): void {
    this.#scale *= by;
    for (let i = 0; i < this.#matrix.length; i++) this.#matrix[i]! *= by;
    for (let i = 0; i < this.#right.length; i++) this.#right[i]! *= by;
  }

  #addStretch(stretch: Float64Array, row: number, first: number, amplitude: number): void {
    const weights = KERNEL_WEIGHTS;
    const size = this.#unknowns;
    for (let n = 0; n < this.taps; n++)
      for (let k = 0; k < KERNEL; k++) {
        const i = first + n + k;
        const weight = amplitude * weights[row + k]!;
        this.#right[i]! += weight * stretch[n]!;
        for (let l = 0; l <= k; l++)
          this.#matrix[i * size + first + n + l]! += weight * amplitude * weights[row + l]!;
      }
  }

  #takeOff(
    stretch: Float64Array,
    basis: Float64Array,
    at: number,
    row: number,
    first: number,
    amplitude: number,
  ): void {
    const weights = KERNEL_WEIGHTS;
    const vector = this.#vector.fill(0);
    const size = this.#unknowns;
    let seen = 0;
    for (let n = 0; n < this.taps; n++) {
      const value = basis[at + n]!;
      seen += value * stretch[n]!;
      for (let k = 0; k < KERNEL; k++) vector[first + n + k]! += amplitude * weights[row + k]! * value;
    }
    for (let i = first; i < first + this.taps + KERNEL - 1; i++) {
      const value = vector[i]!;
      this.#right[i]! -= value * seen;
      for (let j = first; j <= i; j++) this.#matrix[i * size + j]! -= value * vector[j]!;
    }
  }

  /** @param fine the shape as it was; and as it is now, where strikes tell it */
  solve(fine: Float64Array): void {
    const { samples } = this.#shape;
    const size = this.#unknowns;
    const vector = this.#vector;
    for (let i = 0; i < size; i++) {
      const was = this.#isEnd(i) ? 0 : fine[(i - REACH) * FINE]!;
      vector[i] = this.#right[i]! + HOLD * this.#scale * was;
    }
    if (!this.#takeRoot()) return;
    this.#substitute();
    for (let i = 0; i < size; i++) samples[i] = vector[i]!;
    for (let p = 0; p < FINE; p++)
      interpolate(this.#shape, REACH + p / FINE, this.taps + 2 * SPARE, fine, p, FINE);
  }

  #isEnd(unknown: number): boolean {
    const at = unknown - REACH - SPARE;
    return at < 0 || at >= this.taps;
  }

  #hold(unknown: number): number {
    return this.#scale * (this.#isEnd(unknown) ? HOLD_ENDS : HOLD);
  }

  #takeRoot(): boolean {
    const size = this.#unknowns;
    const [matrix, root] = [this.#matrix, this.#root];
    for (let i = 0; i < size; i++)
      for (let j = 0; j <= i; j++) {
        let sum = matrix[i * size + j]! + (i === j ? this.#hold(i) : 0);
        for (let k = 0; k < j; k++) sum -= root[i * size + k]! * root[j * size + k]!;
        if (i !== j) root[i * size + j] = sum / root[j * size + j]!;
        else if (sum > 0) root[i * size + i] = Math.sqrt(sum);
        else return false;
      }
    return true;
  }

  #substitute(): void {
    const size = this.#unknowns;
    const [vector, root] = [this.#vector, this.#root];
    for (let i = 0; i < size; i++) {
      for (let k = 0; k < i; k++) vector[i]! -= root[i * size + k]! * vector[k]!;
      vector[i]! /= root[i * size + i]!;
    }
    for (let i = size - 1; i >= 0; i--) {
      for (let k = i + 1; k < size; k++) vector[i]! -= root[k * size + i]! * vector[k]!;
      vector[i]! /= root[i * size + i]!;
    }
  }
}
