/** Where impulses gather on the way from strike to strike: a table of intervals in, places as shares of the interval out.
 * Knows no meaning of what gathers. */
import { PEAKS } from './interval-peaks';
import type { PeakTable } from './peak-table';

/** Impulses of one sign that gather about a place. */
export interface Cluster {
  readonly sign: 1 | -1;
  /** Share of the interval. */
  readonly place: number;
  /** Impulses beyond what chance puts there, for each interval that could show one. */
  readonly excess: number;
}

const BINS = 200;
/** Half of the window that is counted, and where the flanks beside it lie, in bins. */
const HALF = 4;
const FLANK_FROM = 7;
const FLANK_TO = 17;
/** Stands out by so many deviations of what chance gives, and in this share of the intervals. */
const LEAST_DEVIATIONS = 7;
const LEAST_EXCESS = 0.25;
/** No closing is looked for beyond. */
export const PLACES = { from: 0.06, until: 0.94 } as const;
const MOST_CLUSTERS = 4;

/** Room for counting, made once. */
export class ClusterFinder {
  readonly #counts = new Float64Array(BINS);
  readonly #exposed = new Float64Array(BINS);

  /** @param blankS nothing is looked for so long after a strike and before the next
   * @returns what gathers, the clearest first */
  find(table: PeakTable, blankS: { readonly after: number; readonly before: number }): Cluster[] {
    this.#expose(table, blankS);
    const found = ([1, -1] as const).flatMap((sign) => this.#ofSign(table, sign));
    return found.sort((a, b) => b.excess - a.excess).slice(0, MOST_CLUSTERS);
  }

  /** How many intervals could have shown something in each bin. */
  #expose({ lengthS }: PeakTable, { after, before }: { after: number; before: number }): void {
    const exposed = this.#exposed.fill(0);
    for (const length of lengthS) {
      if (length === 0) continue;
      const from = Math.ceil(BINS * Math.max(PLACES.from, after / length));
      const until = Math.floor(BINS * Math.min(PLACES.until, 1 - before / length));
      if (from < until) {
        exposed[from]!++;
        exposed[until]!--;
      }
    }
    for (let b = 1; b < BINS; b++) exposed[b]! += exposed[b - 1]!;
  }

  #ofSign(table: PeakTable, sign: 1 | -1): Cluster[] {
    const counts = this.#counts.fill(0);
    const { lengthS, afterS, fitted } = table;
    for (let i = 0; i < lengthS.length; i++)
      for (let p = i * PEAKS; lengthS[i]! > 0 && p < (i + 1) * PEAKS; p++)
        if (fitted[p]! * sign > 0) counts[Math.floor((BINS * afterS[p]!) / lengthS[i]!)]!++;
    const clusters: Cluster[] = [];
    for (let b = HALF; b < BINS - HALF; b++) {
      const here = this.#outstanding(b);
      if (here === 0) continue;
      let top = b;
      let best = here;
      for (; b + 1 < BINS - HALF; b++) {
        const next = this.#outstanding(b + 1);
        if (next === 0) break;
        if (next > best) [best, top] = [next, b + 1];
      }
      clusters.push({ sign, place: (top + 0.5) / BINS, excess: best });
    }
    return clusters;
  }

  /** Impulses about a bin for each interval beyond those of its flanks; 0 where that may be chance. */
  #outstanding(bin: number): number {
    const [inside, exposedInside] = this.#sum(bin - HALF, bin + HALF);
    const [left, exposedLeft] = this.#sum(bin - FLANK_TO, bin - FLANK_FROM);
    const [right, exposedRight] = this.#sum(bin + FLANK_FROM, bin + FLANK_TO);
    const beside = exposedLeft + exposedRight;
    if (exposedInside === 0 || beside === 0) return 0;
    const chance = ((left + right) / beside) * exposedInside;
    const over = inside - chance;
    const each = (over * (2 * HALF + 1)) / exposedInside;
    return over > LEAST_DEVIATIONS * Math.sqrt(chance + 1) && each > LEAST_EXCESS ? each : 0;
  }

  #sum(from: number, to: number): [count: number, exposed: number] {
    let [count, exposed] = [0, 0];
    for (let b = Math.max(0, from); b <= Math.min(BINS - 1, to); b++) {
      if (this.#exposed[b] === 0) continue;
      count += this.#counts[b]!;
      exposed += this.#exposed[b]!;
    }
    return [count, exposed];
  }
}
