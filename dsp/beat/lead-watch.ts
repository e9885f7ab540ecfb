/** Watches whether what is followed is one lead's: where every how many-th strike keeps standing over all others, the
 * clamped lead's neighbours were taken for it. Accepted strikes in, yes or no out. Allocates nothing. */
import { LeadHeights, MOST_LEADS } from './lead-heights';

/** Strikes looked back on, how often, and for so many rounds of the leads at least. */
const KEPT = 96;
const EVERY = 12;
const FEWEST_ROUNDS = 5;
const FEWEST_EACH = 2;
/** One lead stands over the tallest other by so much, natural logarithm, and by so many deviations of the two means:
 * asked again and again, more than the search asks once. */
const LEAST_OVER = 0.3;
const DEVIATIONS = 7;

export class LeadWatch {
  readonly #logPeak = new Float64Array(KEPT);
  readonly #place = new Float64Array(KEPT);
  readonly #heights = new LeadHeights();
  #taken = 0;
  #nextPlace = 0;

  startAnew(): void {
    this.#taken = this.#nextPlace = 0;
  }

  /** @param logPeak height of an accepted strike, natural logarithm @param steps intervals since the one before
   * @returns whether the strikes so far are several leads' */
  take(logPeak: number, steps: number): boolean {
    const row = this.#taken++ % KEPT;
    this.#logPeak[row] = logPeak;
    this.#place[row] = this.#nextPlace += steps;
    return this.#taken % EVERY === 0 && this.#areSeveral();
  }

  #areSeveral(): boolean {
    const strikes = Math.min(KEPT, this.#taken);
    for (let leads = 2; leads <= MOST_LEADS && FEWEST_ROUNDS * leads <= strikes; leads++)
      if (this.#standsOver(leads, strikes)) return true;
    return false;
  }

  #standsOver(leads: number, strikes: number): boolean {
    const heights = this.#heights;
    heights.look(this.#logPeak, this.#place, strikes, leads);
    // Of some leads there may be none: what is followed may be twice as fast again.
    for (let lead = 0; lead < leads; lead++)
      if (heights.count[lead]! > 0 && heights.count[lead]! < FEWEST_EACH) return false;
    return heights.over > LEAST_OVER && heights.deviations > DEVIATIONS;
  }
}
