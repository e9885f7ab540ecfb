/** Clipped strikes: only the samples that were heard tell when a strike came, how tall it was and what its shape is; what
 * was cut off is put back by the learnt shape. Conditioned samples, sample numbers and the shape in; mended samples out.
 * Allocates nothing while it runs.
 * @source least squares with the missing samples as unknowns is least squares without them: Little & Rubin, Statistical
 * Analysis with Missing Data, ch. 2 (memory) */
import type { ClipMarks } from '../sound/clip-marks';
import type { Mended, Mending } from './mending';
import { REACH, SampleRing } from '../sound/sample-ring';
import { ShapeEquations } from './shape-equations';
import { FINE } from './shape-tables';
import type { StrikeShape } from './shape';

/** More clipped samples than this about one strike are not put back. */
const MOST = 50;
/** The mended stretch goes beyond the compared one by what interpolation and the next look need. */
const MARGIN = REACH + 8;

export class ClipRepair implements Mending {
  readonly #cut = new Float64Array(MOST);
  /** By cut sample and tap: what it does to the stretch; then the same made orthonormal, from the first on. */
  readonly #columns: Float64Array;
  /** How the columns are made of the orthonormal ones. */
  readonly #made = new Float64Array(MOST * MOST);
  readonly #ofShape = new Float64Array(MOST);
  readonly #ofSlope = new Float64Array(MOST);
  readonly #ofSamples = new Float64Array(MOST);
  readonly #stretch: Float64Array;
  readonly #mended: SampleRing;
  readonly #result: { -readonly [K in keyof Mended]: Mended[K] };
  /** What was cut off so many samples before the stretch still rings in it, by the conditioning. */
  readonly #rings: number;
  readonly #equations: ShapeEquations;

  /** @param response of the conditioning to one sample of 1 */
  constructor(
    private readonly ring: SampleRing,
    private readonly clipped: ClipMarks,
    private readonly shape: StrikeShape,
    private readonly response: Float64Array,
  ) {
    this.#rings = response.length >> 1;
    this.#columns = new Float64Array(MOST * shape.taps);
    this.#stretch = new Float64Array(shape.taps);
    this.#mended = new SampleRing(shape.taps + 2 * MARGIN);
    this.#result = { ring: this.#mended, variance: 0 };
    this.#equations = new ShapeEquations(shape.taps);
  }

  mend(place: number): Mended | null {
    const { from, row } = this.#at(place);
    const count = this.#look(from);
    if (count === 0) return null;
    this.#solve(row, count);
    this.#mend(from, count);
    return this.#result;
  }

  /** Where the stretch about a place begins, and the shape's nearest phase. */
  #at(place: number): { from: number; row: number } {
    const { taps, before } = this.shape;
    const nearest = Math.round(place * FINE);
    const whole = Math.floor(nearest / FINE);
    return { from: whole - before, row: (nearest - whole * FINE) * taps };
  }

  /** The stretch from a sample on, and what was cut off in it. @returns cut samples; 0: none, or too many */
  #look(from: number): number {
    const { taps } = this.shape;
    const count = this.clipped.take(from - this.#rings, from + taps - 1, this.#cut);
    const { samples, mask } = this.ring;
    for (let n = 0; n < taps; n++) this.#stretch[n] = samples[(from + n) & mask]!;
    if (count > MOST - 2) return 0;
    this.#draw(from, count);
    return count;
  }

  forget(): void {
    this.#equations.clear();
  }

  learn(place: number, amplitude: number, gain: number, placed = true): void {
    const { before } = this.shape;
    const { from, row } = this.#at(place);
    const count = this.#look(from);
    const more = placed ? 0 : this.#addShape(row, count);
    const off = from + before - place;
    this.#equations.add(this.#stretch, off, amplitude, gain, this.#columns, count + more);
  }

  /** Place and height are left open as well. @returns columns that came to it */
  #addShape(row: number, count: number): number {
    const { taps, tables } = this.shape;
    [tables.slope, tables.shape].forEach((template, k) => {
      for (let n = 0; n < taps; n++) this.#columns[(count + k) * taps + n] = template[row + n]!;
      this.#straighten(count + k);
    });
    return 2;
  }

  solve(fine: Float64Array): void {
    this.#equations.solve(fine);
  }

  /** What a unit at each cut sample does to the stretch, made orthonormal. */
  #draw(from: number, count: number): void {
    const { taps } = this.shape;
    const { response } = this;
    const columns = this.#columns;
    for (let k = 0; k < count; k++) {
      const at = k * taps;
      for (let n = 0, lag = from - this.#cut[k]!; n < taps; n++, lag++) {
        columns[at + n] = lag >= 0 && lag < response.length ? response[lag]! : 0;
      }
      this.#straighten(k);
    }
  }

  /** Makes a column orthonormal to those before it; nothing is left of one that they make up. */
  #straighten(k: number): void {
    const { taps } = this.shape;
    const columns = this.#columns;
    const at = k * taps;
    let was = 0;
    for (let n = 0; n < taps; n++) was += columns[at + n]! * columns[at + n]!;
    for (let i = 0; i < k; i++) {
      let sum = 0;
      for (let n = 0; n < taps; n++) sum += columns[i * taps + n]! * columns[at + n]!;
      this.#made[k * MOST + i] = sum;
      for (let n = 0; n < taps; n++) columns[at + n]! -= sum * columns[i * taps + n]!;
    }
    let energy = 0;
    for (let n = 0; n < taps; n++) energy += columns[at + n]! * columns[at + n]!;
    const norm = energy > 1e-6 * was && energy > 1e-12 ? Math.sqrt(energy) : 0;
    this.#made[k * MOST + k] = norm;
    for (let n = 0; n < taps; n++) columns[at + n] = norm === 0 ? 0 : columns[at + n]! / norm;
  }

  #project(vector: Float64Array, at: number, count: number, into: Float64Array): void {
    const { taps } = this.shape;
    for (let i = 0; i < count; i++) {
      let sum = 0;
      for (let n = 0; n < taps; n++) sum += this.#columns[i * taps + n]! * vector[at + n]!;
      into[i] = sum;
    }
  }

  /** Height and slope by the samples that were heard; then what was cut off, into `#ofSamples`. */
  #solve(row: number, count: number): void {
    const { taps, tables } = this.shape;
    const stretch = this.#stretch;
    this.#project(tables.shape, row, count, this.#ofShape);
    this.#project(tables.slope, row, count, this.#ofSlope);
    this.#project(stretch, 0, count, this.#ofSamples);
    let [a, b, c, withShape, withSlope, energy] = [0, 0, 0, 0, 0, 0];
    for (let n = 0; n < taps; n++) {
      const [g, s, y] = [tables.shape[row + n]!, tables.slope[row + n]!, stretch[n]!];
      a += g * g;
      b += s * s;
      c += g * s;
      withShape += g * y;
      withSlope += s * y;
      energy += y * y;
    }
    for (let k = 0; k < count; k++) {
      const [g, s, y] = [this.#ofShape[k]!, this.#ofSlope[k]!, this.#ofSamples[k]!];
      a -= g * g;
      b -= s * s;
      c -= g * s;
      withShape -= g * y;
      withSlope -= s * y;
      energy -= y * y;
    }
    const determinant = a * b - c * c;
    const height = (b * withShape - c * withSlope) / determinant;
    const slope = (a * withSlope - c * withShape) / determinant;
    const rest = Math.max(0, energy - height * withShape - slope * withSlope);
    this.#result.variance = rest / Math.max(1, taps - 2 - count) / (height * height * (b - (c * c) / a));
    const cutOff = this.#ofSamples;
    for (let k = count - 1; k >= 0; k--) {
      const norm = this.#made[k * MOST + k]!;
      let sum = cutOff[k]! - height * this.#ofShape[k]! - slope * this.#ofSlope[k]!;
      for (let i = k + 1; i < count; i++) sum -= this.#made[i * MOST + k]! * cutOff[i]!;
      cutOff[k] = norm === 0 ? 0 : sum / norm;
    }
  }

  /** The samples about the stretch, what was cut off put back. */
  #mend(from: number, count: number): void {
    const { samples, mask } = this.ring;
    const { response } = this;
    const mended = this.#mended;
    const until = Math.min(this.ring.end, from + this.shape.taps + MARGIN);
    for (let n = from - MARGIN; n < until; n++) {
      let value = samples[n & mask]!;
      for (let k = 0; k < count; k++) {
        const lag = n - this.#cut[k]!;
        if (lag >= 0 && lag < response.length) value -= this.#ofSamples[k]! * response[lag]!;
      }
      mended.samples[n & mended.mask] = value;
    }
    mended.end = until;
  }
}
