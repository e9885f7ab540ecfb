/** The last strikes side by side: how they differ in height, how many did not come, what stands between them. Accepted
 * strikes and the impulses beside them in, plain figures out when asked. Knows heights and times; allocates nothing for
 * a strike. */
import type { BeatLimits } from '../beat/beat-limits';
import { KICK_SHARE, tailS } from '../beat/beat-costs';
import { besideStrikes } from './beside-strikes';
import type { Candidates } from '../impulses/candidates';
import { quantileOf } from '../quantile-of';
import type { RecentFigures } from '../strike-chain';

/** So many strikes are looked back on: half a minute of one lead at idle. */
const KEPT = 200;
/** An interval is looked at in so many parts: other leads stand still in it. */
export const PLACES = 48;
/** Just before a strike stands what the input's own filter makes of it. */
const BEFORE_S = 0.4e-3;
/** A strike's kick has rung out so long after it, or after such a share of the interval where strikes come fast. */
const RUNG_OUT_S = 4e-3;
const RUNG_OUT_SHARE = 0.3;
/** What stands so far over the noise is not noise. */
const OVER_NOISE = 5;
const FEWEST = 12;
const DB = 20 / Math.LN10;
/** From the median of absolute values to a normal variable's standard deviation; of a point off the middle of its
 * neighbours, √1.5 times that. @source NIST handbook, 1.3.5.6: median absolute deviation */
const MEDIAN_TO_SD = 1.4826 / Math.sqrt(1.5);
/** From its 5 to its 95 % point a normal variable spans so many standard deviations. */
const SPAN_90 = 3.29;

export class RecentStrikes {
  readonly #logHeight = new Float64Array(KEPT);
  /** Strikes due since the one before that did not come; NaN: the beat began here. */
  readonly #missed = new Float64Array(KEPT);
  readonly #clipped = new Uint8Array(KEPT);
  /** The tallest impulse in each part of the interval before a strike, by the strike; 0: none; below 0: soon after one as
   * tall, whose kick it may be. */
  readonly #beside = new Float32Array(KEPT * PLACES);
  #taken = 0;

  constructor(private readonly limits: BeatLimits) {}

  /** @param all impulses by the learnt shape @param before the strike before, @param strike this one, both among them
   * @param steps intervals between the two; 0: the beat begins
   * @param missed strikes due between them that did not come @param isClipped its top is cut off */
  take(
    all: Candidates,
    before: number,
    strike: number,
    steps: number,
    missed: number,
    isClipped: boolean,
  ): void {
    const row = this.#taken++ % KEPT;
    const i = all.at(strike);
    this.#logHeight[row] = Math.log(all.peak[i]!);
    this.#missed[row] = steps > 0 ? missed : NaN;
    this.#clipped[row] = isClipped ? 1 : 0;
    this.#beside.fill(0, row * PLACES, (row + 1) * PLACES);
    if (steps === 0) return;
    const fromS = all.timeS[all.at(before)]!;
    const periodS = (all.timeS[i]! - fromS) / steps;
    const afterS = tailS(periodS, this.limits.repeatShare);
    const rungOutS = Math.min(RUNG_OUT_S, RUNG_OUT_SHARE * periodS);
    for (let c = Math.max(before + 1, all.first); c < strike; c++) {
      const inS = (all.timeS[all.at(c)]! - fromS) % periodS;
      const share = all.peak[all.at(c)]! / all.peak[i]!;
      const isOwn = inS < afterS || inS > periodS - BEFORE_S || (inS < rungOutS && share < KICK_SHARE);
      if (isOwn || all.peak[all.at(c)]! < OVER_NOISE * all.noise[all.at(c)]!) continue;
      const at = row * PLACES + Math.min(PLACES - 1, Math.floor((PLACES * inS) / periodS));
      if (share > Math.abs(this.#beside[at]!)) this.#beside[at] = all.isEcho(c, RUNG_OUT_S) ? -share : share;
    }
  }

  /** @returns null before a dozen strikes */
  figures(): RecentFigures | null {
    const count = Math.min(this.#taken, KEPT);
    if (count < FEWEST) return null;
    const rows = Array.from({ length: count }, (_, n) => (this.#taken - count + n) % KEPT);
    const logs = rows.map((row) => this.#logHeight[row]!);
    const gaps = rows.map((row) => this.#missed[row]!).filter((missed) => !Number.isNaN(missed));
    const middle = quantileOf(logs, 0.5);
    return {
      strikes: count,
      missed: gaps.reduce((sum, missed) => sum + missed, 0),
      mostMissed: Math.max(0, ...gaps),
      clipped: rows.reduce((sum, row) => sum + this.#clipped[row]!, 0),
      height: Math.exp(middle),
      ...heightsOf(logs, this.limits.patternLength),
      smallestShare: Math.exp(quantileOf(logs, 0.05) - middle),
      ...besideStrikes(
        rows
          .filter((row) => !Number.isNaN(this.#missed[row]!))
          .map((row) => this.#beside.subarray(row * PLACES, (row + 1) * PLACES)),
      ),
    };
  }
}

/** How heights differ from strike to strike, and how far they swing slowly.
 * @param logs natural logarithms, in order @param pattern strikes after which heights may repeat */
function heightsOf(logs: readonly number[], pattern: number): { heightScatter: number; swingDb: number } {
  const off: number[] = [];
  for (let n = pattern; n < logs.length - pattern; n++)
    off.push(Math.abs(logs[n]! - (logs[n - pattern]! + logs[n + pattern]!) / 2));
  const scatter = off.length === 0 ? 0 : MEDIAN_TO_SD * quantileOf(off, 0.5);
  const even = logs
    .slice(pattern - 1)
    .map((_, n) => logs.slice(n, n + pattern).reduce((a, b) => a + b, 0) / pattern);
  const span = quantileOf(even, 0.95) - quantileOf(even, 0.05);
  const slow = Math.sqrt(Math.max(0, span ** 2 - (SPAN_90 * scatter) ** 2 / pattern));
  return { heightScatter: scatter, swingDb: DB * slow };
}
