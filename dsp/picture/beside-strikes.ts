/** What stands between strikes: for each interval the tallest impulse in each of its parts in; other leads, which stand
 * still in the interval, and strays, which do not, out. Pure. */

/** In so many of the intervals an impulse stands in one place where another lead fires there. */
const STANDS = 0.5;
/** And in fewer nothing but strays; between, it may be a lead that a strike's ringing hides while the engine is fast. */
const STRAYS = 0.15;
const FEWEST_INTERVALS = 20;
/** By the strike, an impulse is tall enough to be taken for one. */
const TALL = 0.5;

export interface BesideStrikes {
  /** The tallest other lead's mean height by the strike's; null: none seen, or not known yet. */
  readonly neighbourShare: number | null;
  /** Whether there were enough intervals to tell. */
  readonly knowsNeighbours: boolean;
  /** Impulses half as tall as a strike or more that are no other lead's. */
  readonly strays: number;
}

/** @param intervals one row for each, all of one length: heights by the strike's; 0 where nothing stands, below 0 where it
 * may be the kick of what stands before it */
export function besideStrikes(intervals: readonly Float32Array[]): BesideStrikes {
  const knowsNeighbours = intervals.length >= FEWEST_INTERVALS;
  const places = intervals[0]?.length ?? 0;
  const ofLeads = new Uint8Array(places);
  let neighbourShare: number | null = null;
  if (knowsNeighbours) {
    for (let at = 0; at + 1 < places; at++) {
      const heights = intervals
        .map((row) => Math.max(Math.abs(row[at]!), Math.abs(row[at + 1]!)))
        .filter((height) => height > 0);
      if (heights.length > STRAYS * intervals.length) ofLeads.fill(1, Math.max(0, at - 1), at + 3);
      if (heights.length < STANDS * intervals.length) continue;
      const mean = heights.reduce((sum, height) => sum + height, 0) / heights.length;
      neighbourShare = Math.max(neighbourShare ?? 0, mean);
    }
  }
  const strays = intervals.reduce(
    (sum, row) => sum + row.reduce((tall, height, at) => tall + (height > TALL && !ofLeads[at] ? 1 : 0), 0),
    0,
  );
  return { neighbourShare, knowsNeighbours, strays: knowsNeighbours ? strays : 0 };
}
