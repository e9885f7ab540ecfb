/** The learnt shape ready to be compared: its points in, tables by phase and tap; samples near a place in, place and height
 * by least squares out. Allocates nothing while it runs. */
import type { SampleRing } from '../sound/sample-ring';

/** Points for each sample of the learned shape. */
export const FINE = 8;

/** What a comparison found. */
export interface Fit {
  /** Where the strike stands, samples. */
  place: number;
  /** Times the learned shape, whose peak is 1. */
  amplitude: number;
  /** Energy left over by the energy explained, and by itself. */
  rest: number;
  restEnergy: number;
  /** Variance of the place from what is left over, samples squared. */
  variance: number;
}

/** Most places given of those where the shape fits well. */
export const MOST_CRESTS = 6;

export class ShapeTables {
  readonly #crestHeights = new Float64Array(MOST_CRESTS);
  readonly fit: Fit = { place: 0, amplitude: 0, rest: 0, restEnergy: 0, variance: 0 };
  /** By phase and tap: shape and slope, and by phase their sums of squares and product. */
  readonly shape: Float64Array;
  readonly slope: Float64Array;
  readonly #shapeSq = new Float64Array(FINE);
  readonly #slopeSq = new Float64Array(FINE);
  readonly #cross = new Float64Array(FINE);

  /** @param before samples compared before a place @param taps all of them */
  constructor(
    private readonly before: number,
    private readonly taps: number,
  ) {
    this.shape = new Float64Array(FINE * taps);
    this.slope = new Float64Array(FINE * taps);
  }

  /** Phases, slopes and sums. @param fine points from two samples before the stretch to two after */
  spread(fine: Float64Array): void {
    for (let p = 0; p < FINE; p++) {
      let [a, b, c] = [0, 0, 0];
      for (let k = 0; k < this.taps; k++) {
        const j = (k + 2) * FINE - p;
        const shape = fine[j]!;
        const slope = (8 * (fine[j + 1]! - fine[j - 1]!) - (fine[j + 2]! - fine[j - 2]!)) * (FINE / 12);
        this.shape[p * this.taps + k] = shape;
        this.slope[p * this.taps + k] = slope;
        a += shape * shape;
        b += slope * slope;
        c += shape * slope;
      }
      this.#shapeSq[p] = a;
      this.#slopeSq[p] = b;
      this.#cross[p] = c;
    }
  }

  /** The shape by its energy: what it gives with the shape itself is 1. @param into `taps` weights */
  weightsInto(into: Float64Array): void {
    for (let k = 0; k < this.taps; k++) into[k] = this.shape[k]! / this.#shapeSq[0]!;
  }

  /** Where the shape, or the shape upside down, fits better than a sample before and after: the best such places.
   * @param search samples to either side @param into the best first @returns how many there are */
  crests(ring: SampleRing, centre: number, search: number, into: Int32Array): number {
    const heights = this.#crestHeights.fill(-Infinity);
    let count = 0;
    let [before, mid] = [this.#along(ring, centre - search - 1), this.#along(ring, centre - search)];
    for (let at = centre - search; at <= centre + search; at++) {
      const after = this.#along(ring, at + 1);
      if (mid >= before && mid > after && mid > heights[into.length - 1]!) {
        count = Math.min(count + 1, into.length);
        let k = count - 1;
        for (; k > 0 && heights[k - 1]! < mid; k--) [heights[k], into[k]] = [heights[k - 1]!, into[k - 1]!];
        [heights[k], into[k]] = [mid, at];
      }
      [before, mid] = [mid, after];
    }
    return count;
  }

  #along({ samples, mask }: SampleRing, at: number): number {
    let sum = 0;
    for (let k = 0; k < this.taps; k++) sum += this.shape[k]! * samples[(at - this.before + k) & mask]!;
    return Math.abs(sum);
  }

  /** Where the shape fits best, to a sample.
   * @param search samples to either side @param upright whether it is known to stand as the shape does */
  nearest(ring: SampleRing, centre: number, search: number, upright: boolean): number {
    const { samples, mask } = ring;
    const taps = this.taps;
    let best = -Infinity;
    let bestAt = centre;
    for (let at = centre - search; at <= centre + search; at++) {
      let sum = 0;
      const from = at - this.before;
      for (let k = 0; k < taps; k++) sum += this.shape[k]! * samples[(from + k) & mask]!;
      const height = upright ? sum : Math.abs(sum);
      if (height > best) {
        best = height;
        bestAt = at;
      }
    }
    return bestAt;
  }

  /** Place and height from a sample on; they stand in `fit`. */
  refine(ring: SampleRing, start: number): void {
    let whole = start;
    let phase = 0;
    for (let round = 0; round < 3; round++) {
      this.#solve(ring, whole, phase);
      const at = Math.max(start - 1.5, Math.min(start + 1.5, this.fit.place));
      const nearest = Math.round(at * FINE);
      const nextWhole = Math.floor(nearest / FINE);
      const nextPhase = nearest - nextWhole * FINE;
      if (nextWhole === whole && nextPhase === phase) return;
      whole = nextWhole;
      phase = nextPhase;
    }
  }

  /** Height and shift by least squares on the shape and its slope, about one phase. */
  #solve(ring: SampleRing, whole: number, phase: number): void {
    const { samples, mask } = ring;
    const row = phase * this.taps;
    const from = whole - this.before;
    let [withShape, withSlope, energy] = [0, 0, 0];
    for (let k = 0; k < this.taps; k++) {
      const value = samples[(from + k) & mask]!;
      withShape += value * this.shape[row + k]!;
      withSlope += value * this.slope[row + k]!;
      energy += value * value;
    }
    const [a, b, c] = [this.#shapeSq[phase]!, this.#slopeSq[phase]!, this.#cross[phase]!];
    const determinant = a * b - c * c;
    const height = (b * withShape - c * withSlope) / determinant;
    const slope = (a * withSlope - c * withShape) / determinant;
    const shift = Math.max(-1, Math.min(1, -slope / height));
    const explained = height * withShape + slope * withSlope;
    const rest = Math.max(0, energy - explained);
    this.fit.place = whole + phase / FINE + shift;
    this.fit.amplitude = height;
    this.fit.restEnergy = rest;
    this.fit.rest = rest / Math.max(1e-30, explained);
    this.fit.variance = rest / (this.taps - 2) / (height * height * (b - (c * c) / a));
  }
}
