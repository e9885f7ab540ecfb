/** Watches whether what is followed is one lead's: where every how many-th strike keeps standing over all others, the
 * clamped lead's neighbours were taken for it. Accepted strikes in, yes or no out. Allocates nothing. */

/** Strikes looked back on, how often, and for so many rounds of the leads at least. */
const KEPT = 96;
const EVERY = 12;
const FEWEST_ROUNDS = 5;
const FEWEST_EACH = 2;
const MOST_LEADS = 12;
/** One lead stands over the tallest other by so much, natural logarithm, and by so many deviations of the two means:
 * asked again and again, more than the search asks once. */
const LEAST_OVER = 0.3;
const DEVIATIONS = 7;
/** Heights are not taken to scatter by less than this. */
const LEAST_SCATTER = 0.06;

export class LeadWatch {
  readonly #logPeak = new Float64Array(KEPT);
  readonly #place = new Float64Array(KEPT);
  readonly #mean = new Float64Array(MOST_LEADS);
  readonly #count = new Float64Array(MOST_LEADS);
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
    const scatter = this.#sum(leads, strikes);
    let [tallest, next] = [-1, -1];
    for (let lead = 0; lead < leads; lead++) {
      if (this.#count[lead] === 0) continue; // what is followed may be twice as fast again
      if (this.#count[lead]! < FEWEST_EACH) return false;
      if (tallest < 0 || this.#mean[lead]! > this.#mean[tallest]!) [tallest, next] = [lead, tallest];
      else if (next < 0 || this.#mean[lead]! > this.#mean[next]!) next = lead;
    }
    if (next < 0) return false;
    const over = this.#mean[tallest]! - this.#mean[next]!;
    const deviation = scatter * Math.sqrt(1 / this.#count[tallest]! + 1 / this.#count[next]!);
    return over > LEAST_OVER && over > DEVIATIONS * deviation;
  }

  /** Mean height and count of each lead's strikes. @returns their scatter about the means */
  #sum(leads: number, strikes: number): number {
    this.#mean.fill(0);
    this.#count.fill(0);
    for (let k = 0; k < strikes; k++) {
      const lead = this.#place[k]! % leads;
      this.#count[lead]!++;
      this.#mean[lead]! += (this.#logPeak[k]! - this.#mean[lead]!) / this.#count[lead]!;
    }
    let square = 0;
    for (let k = 0; k < strikes; k++)
      square += (this.#logPeak[k]! - this.#mean[this.#place[k]! % leads]!) ** 2;
    return Math.max(LEAST_SCATTER, Math.sqrt(square / Math.max(1, strikes - leads)));
  }
}
