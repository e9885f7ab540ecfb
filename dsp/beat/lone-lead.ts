/** Whether a lead is heard alone: strikes decided in; while strikes are cut, what it costs to leave an impulse out that
 * no other lead can have made. Allocates nothing while it runs. */
import type { Candidates } from '../impulses/candidates';
import { STRAY_TAIL_S } from './beat-period';
import { isCutting } from './next-strike';
import type { Reading } from './reading-of-beat';

const ALONE_COST = 6;
/** What is no lower than this, and shaped like the strikes, is one: so far beside the shape it may be. */
const LEAST_SHARE = 0.25;
const ALIKE_BELOW = 4;
/** A lead is alone that has something else between fewer of its strikes than this, on the mean of the last ten or so. */
const OTHERS_BELOW = 0.3;
const OTHERS_GAIN = 0.1;

export class LoneLead {
  #others = 1;
  #last = 0;

  constructor(private readonly all: Candidates) {}

  /** Begins anew. @param isAlone what is thought at first @param first strike's candidate */
  start(isAlone: boolean, first: number): void {
    this.#others = isAlone ? 0 : 1;
    this.#last = first;
  }

  /** The next strike was decided: looks between the last one's kick and this one. */
  take(candidate: number): void {
    const last = this.all.at(this.#last);
    const least = LEAST_SHARE * this.all.peak[last]!;
    const fromS = this.all.timeS[last]! + STRAY_TAIL_S;
    let others = 0;
    for (let c = candidate - 1; c > this.#last; c--) {
      const i = this.all.at(c);
      if (this.all.timeS[i]! > fromS && this.all.peak[i]! > least) others = 1;
    }
    this.#others += OTHERS_GAIN * (others - this.#others);
    this.#last = candidate;
  }

  /** What it costs to leave an impulse out; 0 where it may be another's. @param i its place among the candidates
   * @param share its peak by the strike's @param usualVar usual variance of a strike's time, seconds squared */
  leavingCost(reading: Reading, i: number, share: number, usualVar: number): number {
    if (this.#others > OTHERS_BELOW || share < LEAST_SHARE || this.all.sign[i] !== 1) return 0;
    const sinceS = this.all.timeS[i]! - reading.lastS;
    if (sinceS < STRAY_TAIL_S || !isCutting(reading, sinceS)) return 0;
    const most = ALIKE_BELOW * usualVar * Math.max(1, 1 / (share * share)); // a lower one is timed less well
    return this.all.timeVar[i]! < most ? ALONE_COST : 0;
  }
}
