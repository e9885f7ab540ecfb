/** The strike's shape, learned from strikes; each impulse is then compared with it: how much of it is the strike, and
 * when, between samples. Samples and sample numbers only. Once learned, allocates nothing. */
import type { PulseSpeed } from '../sound/condition';
import type { Mending } from './mending';
import { middleOf } from '../quantile-of';
import { onsetOf, shiftBetween } from './shape-alike';
import { ShapeDenoise } from './shape-denoise';
import { ShapeScatter } from './shape-scatter';
import { interpolate, REACH, type SampleRing } from '../sound/sample-ring';
import { FINE, MOST_CRESTS, ShapeTables, type Fit } from './shape-tables';
import { startBefore } from './strike-start';

/** The stretch compared, about the peak: the clamp's ringing is in it, the spark's end is not. */
const BEFORE_S = { sharp: 0.15e-3, slow: 1e-3 } as const;
const AFTER_S = { sharp: 0.5e-3, slow: 1e-3 } as const;
/** A strike that begins sooner than this share of what is compared before its peak is compared from there on. */
const ROOM = { clear: 0.4, weak: 0.8 } as const;
/** Where more strikes than this are cut off the shape is learnt from what was heard of them. */
const CUT_SHARE = 0.2;
/** Fewer strikes than this cannot tell the shape without what was cut off. */
const CUT_FEWEST = 4;
const MENDING_ROUNDS = 8;
/** It takes long: a beat that is lost and found again all the time must not hold up the chain. */
const MENDS_EVERY_S = 0.3;
/** In the first of them places are left open, so that they come together fast; the last ones make them calm. */
const OPEN_ROUNDS = 5;
const MEND_ROUNDS = 4;
/** A mended strike whose place moves by less has found it, samples. */
const MENDED_SAMPLES = 1e-3;
/** A strike has no more than so many times the usual rest, the taller one more, or than this share of itself: what is no
 * lead's has ten times as much. */
const ALIKE = 4;
const ALIKE_SHARE = 0.01;
/** Left with so many times the usual rest, it may stand elsewhere. */
const DOUBTED = 6;
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

export class StrikeShape {
  /** Clipped strikes are mended where this is set. */
  mending: Mending | null = null;
  /** From where impulses are found to where strikes are compared, samples, 0 or less. */
  lead = 0;
  readonly fit: Fit;
  readonly #tables: ShapeTables;
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
  readonly #best: Fit = { place: 0, amplitude: 0, rest: 0, restEnergy: 0, variance: 0 };
  readonly #crests = new Int32Array(MOST_CRESTS);
  #weak = false;
  #isCut = false;
  #mendedAt = -Infinity;
  /** The shape that times were told by last, and how far its own zero lies from the first one's, samples. */
  #told: Float64Array | null = null;
  #toldZero = 0;
  /** What must be added to places, so that a shape learnt anew tells the same times as the one before. */
  zero = 0;
  #taught = 0;
  #usualRest = 0;
  #usualHeight = 1;

  constructor(
    private readonly sampleRateHz: number,
    private readonly pulses: PulseSpeed,
  ) {
    this.before = Math.round(BEFORE_S[pulses] * sampleRateHz);
    this.taps = this.before + 1 + Math.round(AFTER_S[pulses] * sampleRateHz);
    this.#fine = new Float64Array((this.taps + 4) * FINE);
    this.#seen = new Float64Array(this.#fine.length);
    this.#clear = new Float64Array(this.#fine.length);
    this.#denoise = new ShapeDenoise(this.#fine.length, FINE);
    this.#scatter = new ShapeScatter(this.#fine.length);
    this.#tables = new ShapeTables(this.before, this.taps);
    this.fit = this.#tables.fit;
  }

  /** Learns anew from some strikes.
   * @param places about where they are, samples, found all in the same way
   * @param weak they stand in loud noise, each within so many samples of its place; null: they are clear
   * @param mayMove whether they may be compared elsewhere than where they are found: from where they begin
   * @returns their usual height; null if too few of them are still in the ring */
  learn(ring: SampleRing, places: readonly number[], weak: number | null, mayMove: boolean): number | null {
    const search = weak ?? this.before;
    this.#weak = weak !== null;
    const moves = mayMove && this.pulses === 'sharp';
    const inRing = places.filter((place) => this.#holds(ring, place, (moves ? 3 : 1) * this.before));
    if (inRing.length < 3) return null;
    const start = moves ? startBefore(ring, inRing, this.sampleRateHz, this.#weak) : 0;
    this.lead = start < -ROOM[this.#weak ? 'weak' : 'clear'] * this.before ? start : 0;
    const held = inRing.map((place) => place + this.lead);
    let aligned = held.map((place) => ({ place, amplitude: 0, rest: 0 }));
    this.#taught = held.length;
    const cut = held.filter((place) => this.mending?.mend(place)).length;
    const isSoon = ring.end - this.#mendedAt < MENDS_EVERY_S * this.sampleRateHz;
    this.#isCut = !this.#weak && !isSoon && held.length >= CUT_FEWEST && cut > CUT_SHARE * held.length;
    if (this.#isCut) this.#mendedAt = ring.end;
    for (let round = 0; round < (this.#isCut ? MENDING_ROUNDS : LEARN_ROUNDS); round++) {
      if (this.#isCut && round > 0) this.#heard(aligned, round >= OPEN_ROUNDS);
      else if (this.#weak && round > 0) this.#mean(ring, aligned);
      else this.#middle(ring, aligned);
      aligned = held.map((place) => {
        this.compare(ring, place, search, this.#weak);
        return { place: this.fit.place, amplitude: Math.abs(this.fit.amplitude), rest: this.fit.restEnergy };
      });
      this.#usualRest = middleOf(aligned.map(({ rest }) => rest));
    }
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
  #middle(ring: SampleRing, aligned: readonly { place: number; amplitude: number }[]): void {
    const rows = aligned.map(({ place, amplitude }) => {
      const row = new Float64Array(this.#fine.length);
      this.#look(ring, place, row);
      const peak = amplitude > 0 ? amplitude : sizeOf(row);
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

  /** By what was heard of strikes that were cut off. */
  #heard(aligned: readonly { place: number; amplitude: number; rest: number }[], placed: boolean): void {
    const { mending } = this;
    if (!mending) return;
    const usual = middleOf(aligned.map(({ rest }) => rest));
    mending.forget();
    for (const { place, amplitude, rest } of aligned)
      if (rest < 3 * usual) mending.learn(place, amplitude, 0, placed);
    mending.solve(this.#fine);
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
    this.#tables.spread(fine);
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

  /** What it is compared by. */
  get tables(): ShapeTables {
    return this.#tables;
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
    this.#tables.refine(ring, this.#tables.nearest(ring, Math.round(place), search, upright));
    if (this.#mend() && this.fit.restEnergy > DOUBTED * this.#usualRest)
      this.#mendElsewhere(ring, Math.round(place), search);
    return true;
  }

  /** Where it was cut off: again by what was heard. @returns whether it was */
  #mend(): boolean {
    if (!this.mending || !this.#isCut) return false;
    for (let round = 0; round < MEND_ROUNDS; round++) {
      const { place } = this.fit;
      const mended = this.mending.mend(place);
      if (!mended) return false;
      this.#tables.refine(mended.ring, Math.round(this.fit.place));
      this.fit.variance = mended.variance;
      if (Math.abs(this.fit.place - place) < MENDED_SAMPLES) return true;
    }
    return true;
  }

  /** What is cut off on both sides looks much the same half a swing sooner or later: takes the place near here where what
   * was heard fits best. */
  #mendElsewhere(ring: SampleRing, centre: number, search: number): void {
    Object.assign(this.#best, this.fit);
    const crests = this.#tables.crests(ring, centre, search, this.#crests);
    for (let k = 0; k < crests; k++) {
      this.#tables.refine(ring, this.#crests[k]!);
      if (this.#mend() && this.fit.restEnergy < this.#best.restEnergy) Object.assign(this.#best, this.fit);
    }
    Object.assign(this.fit, this.#best);
  }

  /** Whether what was just compared is upright and has no more beside the shape than strikes have. */
  get isUsual(): boolean {
    const { amplitude, rest, restEnergy } = this.fit;
    const share = amplitude / this.#usualHeight;
    const most = ALIKE * this.#usualRest * Math.max(1, share * share);
    return amplitude > 0 && (restEnergy < most || rest < ALIKE_SHARE);
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

  /** Sets the zero of a shape just learnt: by the one remembered, where they are alike, else to the strike's onset.
   * @returns whether they are alike */
  agree(): boolean {
    const shift = this.#told === null ? null : shiftBetween(this.#told, this.#fine);
    this.zero =
      shift === null
        ? onsetOf(this.#weak ? this.#clear : this.#fine, this.before)
        : this.#toldZero + shift / FINE;
    return shift !== null;
  }

  /** The shape's points themselves, `FINE` a sample: to be read, before the next strike teaches. */
  get fine(): Float64Array {
    return this.#fine;
  }
  /** Usual height of the strikes that taught it. */
  get usualHeight(): number {
    return this.#usualHeight;
  }
  /** It is learnt from what was heard of strikes that are cut off, or from among loud noise. */
  get isCommon(): boolean {
    return this.#isCut || this.#weak;
  }

  /** Lets the strike just compared teach the shape a little. @returns whether it is one to learn from */
  teach(ring: SampleRing): boolean {
    const { place, amplitude, rest, restEnergy } = this.fit;
    const unusual = rest > TEACHES_BELOW && restEnergy > UNUSUAL * this.#usualRest;
    this.#usualRest += LEAST_GAIN * (Math.min(restEnergy, 2 * UNUSUAL * this.#usualRest) - this.#usualRest);
    if (unusual || !this.#holds(ring, place, 2)) return false;
    this.#taught++;
    const least = rest > TEACHES_BELOW ? LEAST_GAIN_WEAK : LEAST_GAIN;
    const share = Math.abs(amplitude) / this.#usualHeight; // the lower a strike, the more of it is noise
    const gain = Math.max(least, 1 / this.#taught) * Math.min(1, share * share);
    this.#usualHeight += LEAST_GAIN * (Math.abs(amplitude) - this.#usualHeight);
    if (this.#isCut && this.mending) {
      this.mending.learn(place, Math.abs(amplitude), Math.max(least, 1 / this.#taught));
      if (this.#taught % SPREAD_EVERY !== 0) return true;
      this.mending.solve(this.#fine);
      this.#spread();
      return true;
    }
    this.#look(ring, place, this.#seen);
    this.#scatter.take(this.#seen, amplitude, this.#fine);
    for (let j = 0; j < this.#fine.length; j++)
      this.#fine[j]! += gain * (this.#seen[j]! / amplitude - this.#fine[j]!);
    if (!this.#weak || this.#taught % SPREAD_EVERY === 0) this.#spread();
    return true;
  }
}

/** How tall a row stands, beside others of its kind. */
const sizeOf = (row: Float64Array): number =>
  Math.max(1e-12, Math.sqrt(row.reduce((sum, each) => sum + each * each, 0)));
