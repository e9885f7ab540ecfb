/** The strike's shape, learned from strikes; each impulse is then compared with it: how much of it is the strike, and
 * when, between samples. Samples and sample numbers only. Once learned, allocates nothing. */
import type { PulseSpeed } from './condition';
import { ShapeDenoise } from './shape-denoise';
import { ShapeScatter } from './shape-scatter';
import { interpolate, REACH, type SampleRing } from './sample-ring';

/** The stretch compared, about the peak: the clamp's ringing is in it, the spark's end is not. */
const BEFORE_S = { sharp: 0.15e-3, slow: 1e-3 } as const;
const AFTER_S = { sharp: 0.5e-3, slow: 1e-3 } as const;
/** Points for each sample of the learned shape. */
export const FINE = 8;
const LEARN_ROUNDS = 3;
/** The conditioning's high-pass takes back what lasts longer. */
const CONDITIONED_S = 0.16e-3;
/** The newest strike's part of the shape, once many were seen. */
const LEAST_GAIN = 1 / 48;
const LEAST_GAIN_WEAK = 1 / 256;
/** A weak strike teaches so little that the shape is worked out anew only after so many. */
const SPREAD_EVERY = 8;
/** A strike whose rest is more than this of itself, and so many times the usual rest, teaches nothing: two at once. */
const TEACHES_BELOW = 0.15;
const UNUSUAL = 1.8;

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

export class StrikeShape {
  readonly fit: Fit = { place: 0, amplitude: 0, rest: 0, restEnergy: 0, variance: 0 };
  /** Samples compared before the peak, and all. */
  readonly before: number;
  readonly taps: number;
  /** The shape at `FINE` points a sample, from two samples before its stretch to two after. */
  readonly #fine: Float64Array;
  readonly #seen: Float64Array;
  /** The shape without its noise, where strikes are weak. */
  readonly #clear: Float64Array;
  readonly #denoise: ShapeDenoise;
  readonly #scatter: ShapeScatter;
  #weak = false;
  /** By phase and tap: shape and slope, and by phase their sums of squares and product. */
  readonly #shape: Float64Array;
  readonly #slope: Float64Array;
  readonly #shapeSq = new Float64Array(FINE);
  readonly #slopeSq = new Float64Array(FINE);
  readonly #cross = new Float64Array(FINE);
  /** The shape that times were told by last, and how far its own zero lies from the first one's, samples. */
  #told: Float64Array | null = null;
  #toldZero = 0;
  /** What must be added to places, so that a shape learnt anew tells the same times as the one before. */
  zero = 0;
  #taught = 0;
  #usualRest = 0;
  #usualHeight = 1;

  constructor(sampleRateHz: number, pulses: PulseSpeed) {
    this.before = Math.round(BEFORE_S[pulses] * sampleRateHz);
    this.taps = this.before + 1 + Math.round(AFTER_S[pulses] * sampleRateHz);
    this.#fine = new Float64Array((this.taps + 4) * FINE);
    this.#seen = new Float64Array(this.#fine.length);
    this.#clear = new Float64Array(this.#fine.length);
    this.#denoise = new ShapeDenoise(this.#fine.length, FINE);
    this.#scatter = new ShapeScatter(this.#fine.length);
    this.#shape = new Float64Array(FINE * this.taps);
    this.#slope = new Float64Array(FINE * this.taps);
  }

  /** Learns anew from some strikes.
   * @param places about where they are, samples, found all in the same way @param sign of their peaks
   * @param weak they stand in loud noise, each within so many samples of its place; null: they are clear
   * @returns their usual height; null if too few of them are still in the ring */
  learn(ring: SampleRing, places: readonly number[], sign: number, weak: number | null): number | null {
    const search = weak ?? this.before;
    this.#weak = weak !== null;
    const held = places.filter((place) => this.#holds(ring, place, this.before));
    if (held.length < 3) return null;
    let aligned = held.map((place) => ({ place, amplitude: 0, rest: 0 }));
    this.#taught = held.length;
    for (let round = 0; round < LEARN_ROUNDS; round++) {
      if (this.#weak && round > 0) this.#mean(ring, aligned);
      else this.#middle(ring, aligned, sign);
      aligned = held.map((place) => {
        this.compare(ring, place, search, this.#weak);
        return { place: this.fit.place, amplitude: Math.abs(this.fit.amplitude), rest: this.fit.restEnergy };
      });
    }
    this.#usualRest = middleOf(aligned.map(({ rest }) => rest));
    this.#usualHeight = middleOf(aligned.map(({ amplitude }) => amplitude));
    if (this.#weak) this.#spread();
    this.#scatter.startAnew();
    for (const { place, amplitude } of aligned) {
      this.#look(ring, place, this.#seen);
      this.#scatter.take(this.#seen, amplitude, this.#fine);
    }
    return this.#usualHeight;
  }

  /** A shape that a strike may have, before any is known: a sharp rise and a fall, less what the conditioning takes. */
  guess(fallS: number, sampleRateHz: number): void {
    const fall = fallS * sampleRateHz;
    const lost = CONDITIONED_S * sampleRateHz;
    for (let j = 0; j < this.#fine.length; j++) {
      const at = j / FINE - 2 - this.before;
      const fallen = Math.exp(-at / fall) - (fall / lost) * Math.exp(-at / lost);
      this.#fine[j] = at < -1 ? 0 : at < 0 ? 1 + at : fallen;
    }
    this.#weak = false;
    this.#spread();
  }

  /** The shape as the middle, point by point, of aligned strikes of one height. */
  #middle(ring: SampleRing, aligned: readonly { place: number; amplitude: number }[], sign: number): void {
    const rows = aligned.map(({ place, amplitude }) => {
      const row = new Float64Array(this.#fine.length);
      this.#look(ring, place, row);
      const peak = amplitude > 0 ? amplitude : peakNear(row, (this.before + 2) * FINE, FINE, sign);
      return row.map((value) => value / peak);
    });
    const column = new Float64Array(rows.length);
    for (let j = 0; j < this.#fine.length; j++) {
      for (let r = 0; r < rows.length; r++) column[r] = rows[r]![j]!;
      column.sort();
      const half = column.length >> 1;
      this.#fine[j] = column.length % 2 === 1 ? column[half]! : (column[half - 1]! + column[half]!) / 2;
    }
    this.#spread();
  }

  /** The mean of aligned strikes, the taller for more: in loud noise it is better than their middle. */
  #mean(ring: SampleRing, aligned: readonly { place: number; amplitude: number }[]): void {
    const fine = this.#fine.fill(0);
    let squares = 0;
    for (const { place, amplitude } of aligned) {
      this.#look(ring, place, this.#seen);
      squares += amplitude * amplitude;
      for (let j = 0; j < fine.length; j++) fine[j]! += amplitude * this.#seen[j]!;
    }
    for (let j = 0; j < fine.length; j++) fine[j]! /= squares;
    this.#spread();
  }

  #look(ring: SampleRing, place: number, into: Float64Array): void {
    for (let p = 0; p < FINE; p++)
      interpolate(ring, place - this.before - 2 + p / FINE, this.taps + 4, into, p, FINE);
  }

  /** Phases, slopes and sums from the fine shape, its peak made 1. */
  #spread(): void {
    const learnt = this.#fine;
    let peak = 0;
    for (const value of learnt) peak = Math.max(peak, Math.abs(value));
    for (let j = 0; j < learnt.length; j++) learnt[j]! /= peak;
    const fine = this.#weak ? this.#clear : learnt;
    if (this.#weak) this.#denoise.run(learnt, this.#learntVar, fine);
    for (let p = 0; p < FINE; p++) {
      let [a, b, c] = [0, 0, 0];
      for (let k = 0; k < this.taps; k++) {
        const j = (k + 2) * FINE - p;
        const shape = fine[j]!;
        const slope = (8 * (fine[j + 1]! - fine[j - 1]!) - (fine[j + 2]! - fine[j - 2]!)) * (FINE / 12);
        this.#shape[p * this.taps + k] = shape;
        this.#slope[p * this.taps + k] = slope;
        a += shape * shape;
        b += slope * slope;
        c += shape * slope;
      }
      this.#shapeSq[p] = a;
      this.#slopeSq[p] = b;
      this.#cross[p] = c;
    }
  }

  /** Variance of the noise that is left in each point of the shape. */
  get #learntVar(): number {
    const each = this.#usualRest / (this.taps - 2) / (this.#usualHeight * this.#usualHeight);
    return each / Math.min(this.#taught, 2 / LEAST_GAIN_WEAK);
  }

  #holds(ring: SampleRing, place: number, search: number): boolean {
    const from = Math.floor(place) - this.before - search - REACH - 4;
    return ring.holds(from, from + this.taps + 2 * (search + REACH) + 10);
  }

  /** The shape by its energy: what it gives with the shape itself is 1. @param into `taps` weights */
  weightsInto(into: Float64Array): void {
    for (let k = 0; k < this.taps; k++) into[k] = this.#shape[k]! / this.#shapeSq[0]!;
  }

  /** Samples that must have come after a place before it can be compared there. */
  get samplesAfter(): number {
    return this.taps + REACH + 6;
  }

  /** Compares the signal near a place with the shape; the result stands in `fit`.
   * @param search samples to either side @param upright whether it is known to stand as the shape does
   * @returns false if the ring no longer, or not yet, holds what is needed */
  compare(ring: SampleRing, place: number, search: number, upright = false): boolean {
    if (!this.#holds(ring, place, search)) return false;
    const { samples, mask } = ring;
    const taps = this.taps;
    const centre = Math.round(place);
    let best = -Infinity;
    let bestAt = centre;
    for (let at = centre - search; at <= centre + search; at++) {
      let sum = 0;
      const from = at - this.before;
      for (let k = 0; k < taps; k++) sum += this.#shape[k]! * samples[(from + k) & mask]!;
      const height = upright ? sum : Math.abs(sum);
      if (height > best) {
        best = height;
        bestAt = at;
      }
    }
    this.#refine(ring, bestAt);
    return true;
  }

  #refine(ring: SampleRing, start: number): void {
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
      withShape += value * this.#shape[row + k]!;
      withSlope += value * this.#slope[row + k]!;
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

  /** The shape for the eye: a copy of its points, `FINE` a sample; and the rest beside it, a share of its peak. */
  get points(): Float32Array {
    return Float32Array.from(this.#weak ? this.#clear : this.#fine);
  }
  get scatter(): Float32Array<ArrayBuffer> {
    return this.#scatter.deviations;
  }
  get restShare(): number {
    return Math.sqrt(this.#usualRest / (this.taps - 2)) / this.#usualHeight;
  }

  /** Times told so far are by the shape as it is: the next one must agree. */
  remember(): void {
    this.#told = this.#fine.slice();
    this.#toldZero = this.zero;
  }

  /** Sets the zero of a shape just learnt: by the one remembered, where they are alike, else to the strike's onset. */
  agree(): void {
    const shift = this.#told === null ? null : shiftBetween(this.#told, this.#fine);
    this.zero = shift === null ? this.#onset() : this.#toldZero + shift / FINE;
  }

  /** Where the shape first stands at half its largest excursion, samples from the place compared by; 0 where its
   * beginning is not in it. */
  #onset(): number {
    const shape = this.#weak ? this.#clear : this.#fine;
    let most = 0;
    for (const value of shape) most = Math.max(most, Math.abs(value));
    const first = shape.findIndex((value) => Math.abs(value) >= most / 2);
    if (first < 1) return 0;
    const [before, after] = [Math.abs(shape[first - 1]!), Math.abs(shape[first]!)];
    return (first - 1 + (most / 2 - before) / (after - before)) / FINE - this.before - 2;
  }

  /** Lets the strike just compared teach the shape a little. */
  teach(ring: SampleRing): void {
    const { place, amplitude, rest, restEnergy } = this.fit;
    const unusual = rest > TEACHES_BELOW && restEnergy > UNUSUAL * this.#usualRest;
    this.#usualRest += LEAST_GAIN * (Math.min(restEnergy, 2 * UNUSUAL * this.#usualRest) - this.#usualRest);
    if (unusual || !this.#holds(ring, place, 2)) return;
    this.#taught++;
    const least = rest > TEACHES_BELOW ? LEAST_GAIN_WEAK : LEAST_GAIN;
    const share = Math.abs(amplitude) / this.#usualHeight; // the lower a strike, the more of it is noise
    const gain = Math.max(least, 1 / this.#taught) * Math.min(1, share * share);
    this.#usualHeight += LEAST_GAIN * (Math.abs(amplitude) - this.#usualHeight);
    this.#look(ring, place, this.#seen);
    this.#scatter.take(this.#seen, amplitude, this.#fine);
    for (let j = 0; j < this.#fine.length; j++)
      this.#fine[j]! += gain * (this.#seen[j]! / amplitude - this.#fine[j]!);
    if (!this.#weak || this.#taught % SPREAD_EVERY === 0) this.#spread();
  }
}

/** Shapes less alike than this are of different strikes. */
const ALIKE = 0.8;

/** How many points a shape lies behind another, or null if they are unlike: by least squares on the first shape and its
 * slope, from the whole shift at which they agree best. */
function shiftBetween(first: Float64Array, second: Float64Array): number | null {
  let [best, bestAt] = [-Infinity, 0];
  for (let shift = -2 * FINE; shift <= 2 * FINE; shift++) {
    let sum = 0;
    for (let j = 2 * FINE; j < first.length - 2 * FINE; j++) sum += first[j]! * second[j + shift]!;
    if (sum > best) [best, bestAt] = [sum, shift];
  }
  let [a, b, c, withShape, withSlope, energy] = [0, 0, 0, 0, 0, 0];
  for (let j = 2 * FINE; j < first.length - 2 * FINE; j++) {
    const [shape, slope] = [first[j]!, (first[j + 1]! - first[j - 1]!) / 2];
    const value = second[j + bestAt]!;
    a += shape * shape;
    b += slope * slope;
    c += shape * slope;
    withShape += value * shape;
    withSlope += value * slope;
    energy += value * value;
  }
  if (!(withShape > ALIKE * Math.sqrt(a * energy))) return null;
  const height = (b * withShape - c * withSlope) / (a * b - c * c);
  return bestAt - (a * withSlope - c * withShape) / (a * b - c * c) / height;
}

const middleOf = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1]!;

/** The value of one sign that stands out most near a point. */
function peakNear(row: Float64Array, centre: number, reach: number, sign: number): number {
  let peak = 0;
  for (let j = centre - reach; j <= centre + reach; j++) peak = Math.max(peak, sign * row[j]!);
  return Math.max(peak, 1e-12);
}
