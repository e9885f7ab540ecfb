/** Where strikes begin: samples and the places of their peaks in, how far before those they begin out. Their ringing may be
 * taller than their start, and a stretch set about its peak would cut off what tells the time best. */
import { interpolate, type SampleRing } from '../sound/sample-ring';

/** Nothing begins further before its peak: a clamp that rings at 2 kHz is tallest a whole swing after the start. Where noise is
 * loud it is more often noise that stands there. */
const BACK_S = { clear: 0.6e-3, weak: 0.45e-3 } as const;
const FORTH_S = 0.15e-3;
/** A strike has begun where it first stands at this share of its largest excursion. */
const BEGUN = 0.3;

/** @param places of some strikes, samples, all in the ring from 0.6 ms before on @param weak they stand in loud noise
 * @returns samples from a place to the start, 0 or less; 0 where the stretch begins within the strike before */
export function startBefore(
  ring: SampleRing,
  places: readonly number[],
  sampleRateHz: number,
  weak = false,
): number {
  const back = Math.ceil(BACK_S[weak ? 'weak' : 'clear'] * sampleRateHz);
  const length = back + Math.ceil(FORTH_S * sampleRateHz);
  const rows = places.map((place) => {
    const row = new Float64Array(length);
    interpolate(ring, place - back, length, row, 0, 1);
    const most = row.reduce((top, each) => Math.max(top, Math.abs(each)), 1e-12);
    return row.map((each) => each / most);
  });
  const middle = Float64Array.from({ length }, (_, n) => {
    const column = rows.map((row) => row[n]!).sort((a, b) => a - b);
    return Math.abs(column[column.length >> 1]!);
  });
  const most = middle.reduce((top, each) => Math.max(top, each), 0);
  const first = middle.findIndex((each) => each >= BEGUN * most);
  return first < 1 ? 0 : Math.min(0, first - back);
}
