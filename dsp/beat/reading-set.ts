/** The best few readings of the beat, side by side: each is carried on into the next set, the worst make room. Made once,
 * allocates nothing while a beat is followed. */
import { Reading } from './reading-of-beat';

/** A reading that costs so much more than the best is dropped. */
const HOPELESS = 14;

type Cost = (reading: Reading) => number;

export class ReadingSet {
  /** The first `count` of them count. */
  live: Reading[];
  count = 0;
  #next: Reading[];
  #nextCount = 0;

  constructor(
    private readonly most: number,
    patternLength: number,
  ) {
    const make = (): Reading => new Reading(patternLength);
    this.live = Array.from({ length: most }, make);
    this.#next = Array.from({ length: most }, make);
  }

  clear(): void {
    this.count = 0;
  }

  /** One reading alone, to be begun anew. */
  only(): Reading {
    this.count = 1;
    return this.live[0]!;
  }

  /** Begins the next set. */
  begin(): void {
    this.#nextCount = 0;
  }

  /** A reading goes on without a candidate. */
  stay(parent: Reading, cost: number): Reading | null {
    const { lastCandidate, beforeLastCandidate, lastSteps } = parent;
    return this.offer(parent, cost, lastCandidate, beforeLastCandidate, lastSteps);
  }

  /** A place for a reading in the next set, its parent copied into it; null if it is not good enough.
   * @param last and @param beforeLast its last strikes @param steps intervals between the two: of readings that end alike only
   * the best stays */
  offer(parent: Reading, cost: number, last: number, beforeLast: number, steps: number): Reading | null {
    let place = -1;
    let worst = -1;
    for (let r = 0; r < this.#nextCount; r++) {
      const other = this.#next[r]!;
      if (
        other.lastCandidate === last &&
        other.beforeLastCandidate === beforeLast &&
        other.lastSteps === steps
      ) {
        if (other.cost <= cost) return null;
        place = r;
        break;
      }
      if (worst === -1 || other.cost > this.#next[worst]!.cost) worst = r;
    }
    if (place === -1) {
      if (this.#nextCount < this.most) place = this.#nextCount++;
      else if (this.#next[worst]!.cost > cost) place = worst;
      else return null;
    }
    const made = this.#next[place]!;
    made.copy(parent);
    return made;
  }

  /** The next set becomes this one; what is hopeless goes, and costs are counted from the best. */
  swap(cost: Cost): void {
    const old = this.live;
    this.live = this.#next;
    this.#next = old;
    this.count = this.#nextCount;
    const least = cost(this.best(cost));
    this.keep((reading) => cost(reading) <= least + HOPELESS);
    const base = this.best(cost).cost;
    for (let r = 0; r < this.count; r++) this.live[r]!.cost -= base;
  }

  best(cost: Cost): Reading {
    let best = this.live[0]!;
    for (let r = 1; r < this.count; r++) if (cost(this.live[r]!) < cost(best)) best = this.live[r]!;
    return best;
  }

  keep(wanted: (reading: Reading) => boolean): void {
    let kept = 0;
    for (let r = 0; r < this.count; r++) {
      const reading = this.live[r]!;
      if (!wanted(reading)) continue;
      this.live[r] = this.live[kept]!;
      this.live[kept++] = reading;
    }
    this.count = kept;
  }
}
