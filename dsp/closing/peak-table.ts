/** Intervals between strikes with their tallest impulses, as many of each length as of any other: a long hold does not
 * crowd out the speeds before it. Plain columns, oldest of a length overwritten. Allocates nothing once it is made. */
import { PEAKS, type IntervalPeaks } from './interval-peaks';

/** Lengths of an octave are told apart so finely. */
const PER_OCTAVE = 8;
/** Intervals kept of each length. */
const OF_ONE_LENGTH = 64;

export class PeakTable {
  /** Seconds from strike to strike; 0 where no interval stands. */
  readonly lengthS: Float64Array;
  /** Seconds from the strike, PEAKS for each interval; 0 where there is none. */
  readonly afterS: Float64Array;
  /** Heights as shares of the strike's: by the shape, signed, and as it is. */
  readonly fitted: Float32Array;
  readonly share: Float32Array;
  readonly #next: Int32Array;
  readonly #lowest: number;

  constructor(shortestS: number, longestS: number) {
    this.#lowest = lengthClass(shortestS);
    const classes = lengthClass(longestS) - this.#lowest + 1;
    this.lengthS = new Float64Array(classes * OF_ONE_LENGTH);
    this.afterS = new Float64Array(classes * OF_ONE_LENGTH * PEAKS);
    this.fitted = new Float32Array(classes * OF_ONE_LENGTH * PEAKS);
    this.share = new Float32Array(classes * OF_ONE_LENGTH * PEAKS);
    this.#next = new Int32Array(classes);
  }

  clear(): void {
    this.lengthS.fill(0);
    this.#next.fill(0);
  }

  /** @param lengthS of the interval @param strikeHeight of the strike that began it @param strikePlace where that stands
   * @param peaks as found in it; nothing is kept of lengths that cannot be */
  add(
    lengthS: number,
    strikeHeight: number,
    strikePlace: number,
    peaks: IntervalPeaks,
    sampleRateHz: number,
  ): void {
    const row = lengthClass(lengthS) - this.#lowest;
    if (!(row >= 0 && row < this.#next.length)) return;
    const slot = row * OF_ONE_LENGTH + (this.#next[row]!++ % OF_ONE_LENGTH);
    this.lengthS[slot] = lengthS;
    for (let p = 0; p < PEAKS; p++) {
      const at = slot * PEAKS + p;
      const isThere = p < peaks.count;
      this.afterS[at] = isThere ? (peaks.place[p]! - strikePlace) / sampleRateHz : 0;
      this.fitted[at] = isThere ? peaks.fitted[p]! / strikeHeight : 0;
      this.share[at] = isThere ? peaks.height[p]! / strikeHeight : 0;
    }
  }
}

const lengthClass = (lengthS: number): number => Math.floor(PER_OCTAVE * Math.log2(lengthS));
