/** A shape for each place in the firing pattern: on a coil lead every cylinder's strike comes through a lead of its own.
 * Strikes of a place in; its own fit, and how far it begins off the shape of all, out; the shape of all serves where a
 * place does not differ by more than noise. Samples and sample numbers. Allocates nothing once made. */
import { interpolate, type SampleRing } from '../sound/sample-ring';
import { edgeAfter } from './shape-alike';
import type { StrikeShape } from './shape';
import { FINE, ShapeTables, type Fit } from './shape-tables';

/** So few strikes tell no shape. */
const FEWEST = 8;
/** The newest strike's part, once many were seen. */
const LEAST_GAIN = 1 / 96;
/** The shape is worked out anew after so many strikes of its place. */
const RENEW_STRIKES = 8;
/** The newest part in how much later a place begins: that is one figure for good, and an edge alone tells it badly. */
const LEAST_LATER_GAIN = 1 / 64;
/** A place differs where it does so by so many times the energy that noise leaves in its shape. */
const DIFFERS = 3;
/** Its own fit lies no further from that of all, samples. */
const NEAR = 1.5;

/** What is known of one place. */
interface Place {
  readonly fine: Float64Array;
  readonly tables: ShapeTables;
  taught: number;
  renewed: number;
  /** Energy by which one strike of height 1 differs from its place's shape. */
  rest: number;
  /** How much later its edge comes than that of the first shape of all, samples; null: it does not differ. */
  laterBy: number | null;
}

export class PlaceShapes {
  readonly #places: readonly Place[];
  readonly #seen: Float64Array;
  /** The shape of all as it was learnt first, and its zero: each strike moves the one that is learnt, and after a gap
   * another mixture of leads teaches it. */
  readonly #first: Float64Array;
  #zero = 0;

  /** @param shape of all @param count of places */
  constructor(
    private readonly shape: StrikeShape,
    count: number,
  ) {
    const points = shape.fine.length;
    this.#seen = new Float64Array(points);
    this.#first = new Float64Array(points);
    this.#places = Array.from({ length: count }, () => ({
      fine: new Float64Array(points),
      tables: new ShapeTables(shape.before, shape.taps),
      taught: 0,
      renewed: 0,
      rest: 0,
      laterBy: null,
    }));
  }

  /** The shape of all was learnt anew. @param same the strikes are those of before: times go on by the same edge */
  clear(same: boolean): void {
    if (!same) {
      this.#first.set(this.shape.fine);
      this.#zero = this.shape.zero;
    }
    for (const place of this.#places) {
      place.fine.fill(0);
      place.taught = place.renewed = place.rest = 0;
      place.laterBy = null;
    }
  }

  /** From where a strike stands by its place's shape to its time, samples. */
  zero(slot: number): number {
    return (this.#places[slot]!.laterBy ?? 0) + this.#zero;
  }

  /** A strike by its place's shape. @param at where it stands by the shape of all, samples, its stretch in the ring
   * @returns null where the shape of all serves */
  compare(ring: SampleRing, slot: number, at: number): Readonly<Fit> | null {
    const { tables, laterBy } = this.#places[slot]!;
    if (laterBy === null) return null;
    tables.refine(ring, Math.round(at));
    return Math.abs(tables.fit.place - at) < NEAR && tables.fit.amplitude > 0 ? tables.fit : null;
  }

  /** @param fit of a strike of that place, by whatever shape it was timed by */
  teach(ring: SampleRing, slot: number, fit: Readonly<Fit>, usualHeight: number): void {
    const place = this.#places[slot]!;
    const { fine } = place;
    const { before, taps } = this.shape;
    for (let p = 0; p < FINE; p++)
      interpolate(ring, fit.place - before - 2 + p / FINE, taps + 4, this.#seen, p, FINE);
    place.taught++;
    const share = Math.min(1, fit.amplitude / usualHeight); // the lower a strike, the more of it is noise
    const gain = Math.max(LEAST_GAIN, 1 / place.taught) * (place.taught === 1 ? 1 : share * share);
    let off = 0;
    for (let j = 0; j < fine.length; j++) {
      const by = this.#seen[j]! / fit.amplitude - fine[j]!;
      fine[j]! += gain * by;
      off += by * by;
    }
    if (place.taught > 1)
      place.rest += Math.max(LEAST_GAIN, 1 / (place.taught - 1)) * (off / FINE - place.rest);
    if (place.taught >= FEWEST && place.taught % RENEW_STRIKES === 0) this.#renew(place);
  }

  #renew(place: Place): void {
    const all = this.shape.fine;
    const { fine } = place;
    let [same, energy] = [0, 0];
    for (let j = 0; j < fine.length; j++) {
      same += fine[j]! * all[j]!;
      energy += all[j]! * all[j]!;
    }
    let differs = 0;
    for (let j = 0; j < fine.length; j++) differs += (fine[j]! - (same / energy) * all[j]!) ** 2;
    const strikes = Math.min(place.taught, 2 / LEAST_GAIN);
    const doesDiffer = differs / FINE > (DIFFERS * place.rest) / strikes;
    const laterBy = doesDiffer ? edgeAfter(this.#first, fine, this.shape.zero - this.#zero) : null;
    if (laterBy === null) {
      place.laterBy = null;
      place.renewed = 0;
      return;
    }
    const gain = Math.max(LEAST_LATER_GAIN, 2 / (++place.renewed + 1)); // the more strikes, the better it is told
    place.laterBy = (place.laterBy ?? laterBy) + Math.min(1, gain) * (laterBy - (place.laterBy ?? laterBy));
    place.tables.spread(fine);
  }
}
