/** How strikes would share out among so many leads that fire in turn, and how far the tallest lead stands over the next:
 * heights and places in, one comparison out. Allocates nothing for a look. */

/** More leads are not told apart. */
export const MOST_LEADS = 12;
/** Heights are not taken to scatter by less than this, natural logarithm; and by so much before any were seen, which counts
 * for so many: of a few heights some are alike by chance. */
export const LEAST_HEIGHT_SCATTER = 0.06;
const USUAL_SCATTER = 0.2;
const USUAL_COUNTS = 3;

export class LeadHeights {
  /** Of each lead, in turn: its strikes' mean height, natural logarithm, and how many they are. */
  readonly mean = new Float64Array(MOST_LEADS);
  readonly count = new Float64Array(MOST_LEADS);
  /** The tallest lead; so far it stands over the next one, natural logarithm, and in deviations of the two means. Minus
   * infinity where all strikes are one lead's. */
  tallest = 0;
  over = -Infinity;
  deviations = -Infinity;

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
    this.mean.fill(0);
    this.count.fill(0);
    for (let k = 0; k < strikes; k++) {
      const lead = places[k]! % leads;
      this.count[lead]!++;
      this.mean[lead]! += (logPeaks[k]! - this.mean[lead]!) / this.count[lead]!;
    }
    let square = 0;
    for (let k = 0; k < strikes; k++) square += (logPeaks[k]! - this.mean[places[k]! % leads]!) ** 2;
    const counts = Math.max(0, strikes - leads) + USUAL_COUNTS;
    return Math.max(
      LEAST_HEIGHT_SCATTER,
      Math.sqrt((square + USUAL_COUNTS * USUAL_SCATTER * USUAL_SCATTER) / counts),
    );
  }
}
