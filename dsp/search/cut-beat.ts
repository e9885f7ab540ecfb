/** The beat of an engine on its limiter from the first moment: one or two strikes at a time, long cuts between. Events in,
 * the beat out, or null where none shows. Batch work. */
import type { Beat, BeatLimits } from '../beat/beat-limits';
import type { Events } from './events';

/** So many strikes, of them so many straight after another, so many after a cut of so many intervals at least. */
const FEWEST = 9;
const MOST = 48;
const FEWEST_NEXT = 3;
const FEWEST_CUTS = 4;
const CUT_INTERVALS = 4;
const MOST_INTERVALS = 30;
/** Engines are cut when they race. */
const LONGEST_S = 0.06;
/** Intervals are alike within this; a gap is a whole number of them within so much, and so much more for each. */
const ALIKE = 0.03;
const WHOLE = 0.04;
const WHOLE_EACH = 0.012;
const WHOLE_MOST = 0.15;
/** Of the strikes cut so many may be seen, by chance. */
const FIRED_IN_CUTS = 0.2;
/** The clamped lead's strikes, by a tall one. */
const TALL_SHARE = 0.7;

export function cutBeat(events: Events, limits: BeatLimits): Beat | null {
  const tall = tallest(events).slice(-MOST);
  if (tall.length < FEWEST) return null;
  const timeS = tall.map((x) => events.timeS[x]!);
  const gapsS = timeS.slice(1).map((t, k) => t - timeS[k]!);
  const periodS = shortestAlike(gapsS, limits);
  if (periodS === null) return null;
  const counts = gapsS.map((gapS) => Math.round(gapS / periodS));
  const fits = counts.every((count, k) => isWhole(gapsS[k]! / periodS, count));
  const cuts = counts.filter((count) => count >= CUT_INTERVALS).length;
  if (!fits || cuts < FEWEST_CUTS || othersFire(events, tall, counts)) return null;
  const strikes = tall.map((x) => events.candidate[x]!);
  return { strikes, steps: [0, ...counts], sign: 1, periodS, lead: 1, pattern: null };
}

/** Whether other leads fire where the cuts are: then nothing is cut, and what is tall is one lead's or its neighbour's. */
function othersFire({ timeS }: Events, tall: readonly number[], counts: readonly number[]): boolean {
  let [cut, fired] = [0, 0];
  counts.forEach((count, k) => {
    const [from, to] = [tall[k]!, tall[k + 1]!];
    const periodS = (timeS[to]! - timeS[from]!) / count;
    cut += count - 1;
    let last = 0;
    for (let x = from + 1; x < to; x++) {
      const intervals = (timeS[x]! - timeS[from]!) / periodS;
      const place = Math.round(intervals);
      if (place <= last || place >= count || Math.abs(intervals - place) > ALIKE) continue;
      fired++;
      last = place;
    }
  });
  return fired > FIRED_IN_CUTS * cut;
}

function tallest({ peak }: Events): number[] {
  const sorted = Float64Array.from(peak).sort();
  const least = TALL_SHARE * (sorted[Math.floor(0.8 * sorted.length)] ?? 0);
  return [...peak.keys()].filter((x) => peak[x]! > least);
}

/** Mean of the shortest intervals that are alike; null where too few are, or none is a racing engine's. */
function shortestAlike(gapsS: readonly number[], { shortestS }: BeatLimits): number | null {
  const sorted = [...gapsS].sort((a, b) => a - b);
  const first = sorted[0]!;
  if (first < shortestS || first > LONGEST_S) return null;
  const alike = sorted.filter((gapS) => gapS < first * (1 + 2 * ALIKE));
  return alike.length < FEWEST_NEXT ? null : alike.reduce((sum, gapS) => sum + gapS, 0) / alike.length;
}

const isWhole = (intervals: number, count: number): boolean =>
  count <= MOST_INTERVALS && Math.abs(intervals - count) < Math.min(WHOLE_MOST, WHOLE + WHOLE_EACH * count);
