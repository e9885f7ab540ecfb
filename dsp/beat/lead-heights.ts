/** How strikes would share out among so many leads that fire in turn, and how far the tallest lead stands over the next:
 * heights and places in, one comparison out. Allocates nothing for a look. */

/** More leads are not told apart. */
export const MOST_LEADS = 12;
/** Heights are not taken to scatter by less than this, natural logarithm; and by so much before any were seen, which counts
 * for so many: of a few heights some are alike by chance. */
export const LEAST_HEIGHT_SCATTER = 0.06;
const USUAL_SCATTER = 0.2;
const USUAL_COUNTS = 3;
/** So far off its lead's middle, natural logarithm, and by so many deviations, a height is a stray's. */
const STRAYS_OFF = 0.45;
const STRAYS_DEVIATIONS = 1.5;
/** Heights looked at in one go. */
const MOST_STRIKES = 512;

export class LeadHeights {
  /** Of each lead, in turn: its strikes' mean height, natural logarithm, and how many they are. */
  readonly mean = new Float64Array(MOST_LEADS);
  readonly count = new Float64Array(MOST_LEADS);
  /** The tallest lead; so far it stands over the next one, natural logarithm, and in deviations of the two means. Minus
   * infinity where all strikes are one lead's. */
  tallest = 0;
  over = -Infinity;
  deviations = -Infinity;

  readonly #own = new Float64Array(MOST_STRIKES);

  /** @param logPeaks heights of strikes, natural logarithm @param places theirs in the beat, missed ones counted
   * @param strikes how many of them to look at @param leads that fire in turn, at most MOST_LEADS */
  look(logPeaks: ArrayLike<number>, places: ArrayLike<number>, strikes: number, leads: number): void {
    const scatter = this.#shareOut(logPeaks, places, strikes, leads);
    let [tallest, next] = [-1, -1];
    for (let lead = 0; lead < leads; lead++) {
      if (this.count[lead] === 0) continue;
      if (tallest < 0 || this.mean[lead]! > this.mean[tallest]!) [tallest, next] = [lead, tallest];
      else if (next < 0 || this.mean[lead]! > this.mean[next]!) next = lead;
    }
    this.tallest = tallest;
    this.over = this.deviations = -Infinity;
    if (next < 0) return;
    this.over = this.mean[tallest]! - this.mean[next]!;
    this.deviations = this.over / (scatter * Math.sqrt(1 / this.count[tallest]! + 1 / this.count[next]!));
  }

  /** @returns scatter of the heights about their leads' means */
  #shareOut(logPeaks: ArrayLike<number>, places: ArrayLike<number>, strikes: number, leads: number): number {
    const scatter = this.#shareOutTo(logPeaks, places, strikes, leads, Infinity);
    return this.#shareOutTo(
      logPeaks,
      places,
      strikes,
      leads,
      Math.max(STRAYS_OFF, STRAYS_DEVIATIONS * scatter),
    );
  }

  /** @param most what is further off its lead's middle was a stray, and counts for no more */
  #shareOutTo(
    logPeaks: ArrayLike<number>,
    places: ArrayLike<number>,
    strikes: number,
    leads: number,
    most: number,
  ): number {
    const own = this.#own;
    let square = 0;
    for (let lead = 0; lead < leads; lead++) {
      const count = this.#gather(logPeaks, places, strikes, leads, lead);
      const middle = (own[(count - 1) >> 1]! + own[count >> 1]!) / 2;
      let [sum, squares] = [0, 0];
      for (let k = 0; k < count; k++) {
        const off = Math.max(-most, Math.min(most, own[k]! - middle));
        sum += off;
        squares += off * off;
      }
      this.count[lead] = count;
      this.mean[lead] = count === 0 ? 0 : middle + sum / count;
      if (count > 0) square += squares - (sum * sum) / count;
    }
    const counts = Math.max(0, strikes - leads) + USUAL_COUNTS;
    const usual = USUAL_COUNTS * USUAL_SCATTER * USUAL_SCATTER;
    return Math.max(LEAST_HEIGHT_SCATTER, Math.sqrt((square + usual) / counts));
  }

  /** One lead's heights, in order of height, into `#own`. @returns how many */
  #gather(
    logPeaks: ArrayLike<number>,
    places: ArrayLike<number>,
    strikes: number,
    leads: number,
    lead: number,
  ): number {
    const own = this.#own;
    let count = 0;
    for (let k = 0; k < strikes; k++) {
      if (places[k]! % leads !== lead) continue;
      let at = count++;
      for (; at > 0 && own[at - 1]! > logPeaks[k]!; at--) own[at] = own[at - 1]!;
      own[at] = logPeaks[k]!;
    }
    return count;
  }
}
