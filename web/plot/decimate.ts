/** Long columns in, as few as the screen can show out: the least and the greatest of each bucket stay, gaps stay gaps.
 * Knows no rpm and no pixels. */

/** Columns of equal length, time rising; a value that is NaN is a gap. */
export interface Columns {
  readonly timeS: ArrayLike<number>;
  readonly value: ArrayLike<number>;
  readonly sd: ArrayLike<number>;
}

/** What is drawn: value and the edges of its band, null for a gap. */
export interface Drawn {
  readonly timeS: number[];
  readonly value: (number | null)[];
  readonly low: (number | null)[];
  readonly high: (number | null)[];
}

/** The first index whose time is at or after `timeS`; the length where there is none. */
export function firstAt(times: ArrayLike<number>, timeS: number): number {
  let [low, high] = [0, times.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle]! < timeS) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Thins columns to about two points a bucket.
 * @param from first row, from 0
 * @param to row after the last
 * @param buckets how many, 1 or more: about one for each pixel of width
 * @param widths how many standard deviations the band spans to each side
 * @throws RangeError if buckets is below 1 */
export function decimate(columns: Columns, from: number, to: number, buckets: number, widths = 2): Drawn {
  if (!(buckets >= 1)) throw new RangeError(`there must be 1 bucket or more, got ${buckets}`);
  const drawn: Drawn = { timeS: [], value: [], low: [], high: [] };
  const count = to - from;
  if (count <= 0) return drawn;
  const startS = columns.timeS[from]!;
  const bucketS = (columns.timeS[to - 1]! - startS) / buckets;
  if (count <= 2 * buckets || !(bucketS > 0)) {
    for (let i = from; i < to; i++) addBucket(drawn, columns, i, i + 1, widths);
    return drawn;
  }
  for (let i = from, k = 1; i < to; k++) {
    const endS = startS + k * bucketS;
    let end = i;
    while (end < to && (columns.timeS[end]! < endS || k >= buckets)) end++;
    if (end > i) addBucket(drawn, columns, i, end, widths);
    i = end;
  }
  return drawn;
}

/** One bucket: its extremes in the order they came, each with the band of the whole bucket, and one gap if it has any. */
function addBucket(drawn: Drawn, columns: Columns, from: number, to: number, widths: number): void {
  const { value: values, sd } = columns;
  let [least, greatest, gap] = [-1, -1, -1];
  let [leastValue, greatestValue] = [Infinity, -Infinity];
  let [low, high] = [Infinity, -Infinity];
  for (let i = from; i < to; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) {
      gap = i;
      continue;
    }
    if (value < leastValue) [least, leastValue] = [i, value];
    if (value > greatestValue) [greatest, greatestValue] = [i, value];
    const half = widths * (sd[i]! || 0); // an unknown deviation draws no band
    if (value - half < low) low = value - half;
    if (value + half > high) high = value + half;
  }
  const picks = [least, greatest, gap].filter((i) => i >= 0).sort((a, b) => a - b);
  for (const i of new Set(picks)) {
    drawn.timeS.push(columns.timeS[i]!);
    drawn.value.push(i === gap ? null : columns.value[i]!);
    drawn.low.push(i === gap ? null : low);
    drawn.high.push(i === gap ? null : high);
  }
}
