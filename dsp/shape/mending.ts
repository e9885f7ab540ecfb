/** What mends clipped strikes and what is mended: the contract between a shape and who puts back what was cut off. */
import type { SampleRing } from '../sound/sample-ring';

/** Samples about a strike with what was cut off put back. */
export interface Mended {
  readonly ring: SampleRing;
  /** Variance of the place by the samples that were heard, samples squared. */
  readonly variance: number;
}

/** Puts back what was cut off, by the shape as it is. */
export interface Mending {
  /** @returns null where nothing was cut off, or too much; the same object each time */
  mend(place: number): Mended | null;
  /** The shape is learnt from nothing but what comes from now on. */
  forget(): void;
  /** @param place @param amplitude of a strike @param gain what was learnt before counts for so much less */
  learn(place: number, amplitude: number, gain: number, placed?: boolean): void;
  /** @param fine the shape's points, made anew by what was heard of the strikes */
  solve(fine: Float64Array): void;
}
