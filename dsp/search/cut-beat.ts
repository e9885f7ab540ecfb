/** The beat of an engine on its limiter: one or two strikes at a time, long cuts between, its speed steady or on its way.
 * Events in, the beat out, or null where none shows. Batch work. */
import type { Beat, BeatLimits } from '../beat/beat-limits';
import { MOST_LEADS } from '../beat/lead-heights';
import type { Candidates } from '../impulses/candidates';
import { middleOf } from '../quantile-of';
import type { Events } from './events';

/** So many strikes, of them so many straight after another, so many after a cut of so many intervals at least. */
const FEWEST = 9;
const MOST = 48;
const FEWEST_NEXT = 3;
const FEWEST_CUTS = 4;
const CUT_INTERVALS = 2.7;
/** Engines are cut when they race. */
const LONGEST_S = 0.06;
/** An interval may change by so much a second, relatively; two that are the same differ by less, the logarithm. */
const CHANGE = 0.6;
const SAME = 0.07;
/** Fewer of both will do where all gaps are a whole number of intervals within so much: by chance few are. */
const FEWEST_IF_WHOLE = 7;
const FEWEST_NEXT_IF_WHOLE = 2;
const WHOLE_IF_FEW = 0.06;
/** What lies between is no whole number of intervals. */
const NEARLY_TWO = 1.65;
/** Where the interval did not change, gaps are a whole number of them within so much, and so much more for each. */
const STEADY = 0.02;
const WHOLE = 0.04;
const WHOLE_EACH = 0.012;
const WHOLE_MOST = 0.15;
/** Of the strikes cut so many more may be seen in their places than half-way between them, by chance; so near to them, so
 * tall by the strikes about them. */
const FIRED_IN_CUTS = 0.2;
const FIRED_NEAR = 0.03;
const FIRED_SHARE = 0.03;
/** One lead's strikes stand over all others by so much, the logarithm, and by so many deviations. */
const LEAST_TALLER = 0.4;
const TALLER_DEVIATIONS = 4.5;
/** One lead's strikes seldom differ so much from the one before, natural logarithm. */
const UNLIKE = 0.55;
const UNLIKE_SHARE = 0.25;
/** The clamped lead's strikes, by a tall one, where others are heard too. */
const TALL_SHARE = 0.7;

/** Strikes stand so many times over the noise. */
const OVER_NOISE = 8;

/** All impulses may be the lead's, or the tall ones alone.
 * @param all what the events were told from */
export function cutBeat(all: Candidates, events: Events, limits: BeatLimits): Beat | null {
  const every = [...events.candidate.keys()];
  return cutBeatOf(all, events, every, limits) ?? cutBeatOf(all, events, tallest(events), limits);
}

function cutBeatOf(
  all: Candidates,
  events: Events,
  kept: readonly number[],
  limits: BeatLimits,
): Beat | null {
  const own = kept.slice(-MOST);
  if (own.length < FEWEST_IF_WHOLE) return null;
  const timeS = own.map((x) => events.timeS[x]!);
  const gapsS = timeS.slice(1).map((t, k) => t - timeS[k]!);
  const next = nextOnes(timeS, gapsS, limits);
  if ((own.length < FEWEST || next.length < FEWEST_NEXT) && !areWhole(gapsS, next)) return null;
  const intervals = gapsS.map((gapS, k) => gapS / gapsS[nearest(timeS, next, k)]!);
  const counts = intervals.map((each) => Math.max(1, Math.round(each)));
  const cuts = intervals.filter((each) => each > CUT_INTERVALS).length;
  if (cuts < FEWEST_CUTS || !fit(timeS, gapsS, next, intervals)) return null;
  const strikes = own.map((x) => events.candidate[x]!);
  const logPeaks = own.map((x) => events.logPeak[x]!);
  if (!standClear(all, strikes)) return null;
  if (areUnlike(logPeaks) || isOneTaller(logPeaks, counts) || othersFire(all, strikes, counts)) return null;
  const periodS = gapsS[next[0]!]!;
  return { strikes, steps: [0, ...counts], sign: 1, periodS, lead: 1, pattern: null, isCut: true };
}

/** Whether these stand so far over the noise that none of it is among them: noise fits any cuts. */
function standClear(all: Candidates, strikes: readonly number[]): boolean {
  const over = strikes.map((c) => all.peak[all.at(c)]! / all.noise[all.at(c)]!);
  return middleOf(over) > OVER_NOISE;
}

/** Places of the gaps that are one interval: none near them in time is clearly shorter, by what engines can do. None where
 * something comes sooner than strikes can. */
function nextOnes(
  timeS: readonly number[],
  gapsS: readonly number[],
  { shortestS }: BeatLimits,
): readonly number[] {
  if (Math.min(...gapsS) < shortestS) return [];
  const isNext = (gapS: number, k: number): boolean =>
    gapS < LONGEST_S &&
    gapsS.every((other, j) => gapS < other * Math.exp(SAME + CHANGE * Math.abs(timeS[k]! - timeS[j]!)));
  return [...gapsS.keys()].filter((k) => isNext(gapsS[k]!, k));
}

/** Whether two strikes straight after another tell the interval already: both the same, and all cuts a whole number of it. */
function areWhole(gapsS: readonly number[], next: readonly number[]): boolean {
  if (next.length < FEWEST_NEXT_IF_WHOLE) return false;
  const [shortest, longest] = [
    Math.min(...next.map((k) => gapsS[k]!)),
    Math.max(...next.map((k) => gapsS[k]!)),
  ];
  if (Math.log(longest / shortest) > STEADY) return false;
  return gapsS.every((gapS) => {
    const intervals = (2 * gapS) / (shortest + longest);
    return Math.abs(intervals - Math.round(intervals)) < WHOLE_IF_FEW;
  });
}

function nearest(timeS: readonly number[], next: readonly number[], k: number): number {
  const offS = (n: number): number => Math.abs(timeS[n]! - timeS[k]!);
  return next.reduce((best, n) => (offS(n) < offS(best) ? n : best));
}

/** Whether every gap is one interval, or no fewer than two; and a whole number where intervals to both sides are alike. */
function fit(
  timeS: readonly number[],
  gapsS: readonly number[],
  next: readonly number[],
  intervals: readonly number[],
): boolean {
  return intervals.every((each, k) => {
    if (next.includes(k)) return true;
    const sinceS = Math.abs(timeS[nearest(timeS, next, k)]! - timeS[k]!);
    if (each < NEARLY_TWO * Math.exp(-CHANGE * sinceS)) return false;
    const before = gapsS[next.findLast((n) => n < k) ?? -1];
    const after = gapsS[next.find((n) => n > k) ?? -1];
    if (before === undefined || after === undefined) return true;
    return Math.abs(Math.log(before / after)) > STEADY || isWhole((2 * gapsS[k]!) / (before + after));
  });
}

function isWhole(intervals: number): boolean {
  const count = Math.round(intervals);
  return Math.abs(intervals - count) < Math.min(WHOLE_MOST, WHOLE + WHOLE_EACH * count);
}

/** Whether these are tall strikes with low ones between: then they are several leads'. */
function areUnlike(logPeaks: readonly number[]): boolean {
  const unlike = logPeaks.filter((peak, k) => k > 0 && Math.abs(peak - logPeaks[k - 1]!) > UNLIKE).length;
  return unlike > UNLIKE_SHARE * (logPeaks.length - 1);
}

/** Whether every how many-th strike is clearly taller than all others: then those are other leads', and nothing is cut. */
function isOneTaller(logPeaks: readonly number[], counts: readonly number[]): boolean {
  let place = 0;
  const places = [0, ...counts.map((count) => (place += count))];
  for (let leads = 2; leads <= MOST_LEADS; leads++)
    for (let lead = 0; lead < leads; lead++) {
      const own = logPeaks.filter((_, k) => places[k]! % leads === lead);
      const others = logPeaks.filter((_, k) => places[k]! % leads !== lead);
      if (own.length >= FEWEST_NEXT && others.length >= FEWEST_NEXT && standsOver(own, others)) return true;
    }
  return false;
}

function standsOver(own: readonly number[], others: readonly number[]): boolean {
  const [a, b] = [momentsOf(own), momentsOf(others)];
  const scatter = Math.hypot(a.deviation / Math.sqrt(own.length), b.deviation / Math.sqrt(others.length));
  return a.mean - b.mean > Math.max(LEAST_TALLER, TALLER_DEVIATIONS * scatter);
}

function momentsOf(values: readonly number[]): { mean: number; deviation: number } {
  const mean = values.reduce((sum, each) => sum + each, 0) / values.length;
  const square = values.reduce((sum, each) => sum + (each - mean) ** 2, 0) / (values.length - 1);
  return { mean, deviation: Math.sqrt(square) };
}

/** Whether other leads fire where the cuts are, were it but faintly: then nothing is cut, and what is tall is one lead's or
 * its neighbour's. */
function othersFire(all: Candidates, own: readonly number[], counts: readonly number[]): boolean {
  let [cut, fired] = [0, 0];
  counts.forEach((count, k) => {
    if (count === 1) return;
    cut += count - 1;
    fired += firedBetween(all, own[k]!, own[k + 1]!, count);
  });
  return fired > FIRED_IN_CUTS * cut;
}

/** @param from a strike @param to the next, so many intervals after it @returns places between them at which something fired,
 * less those half-way between two places */
function firedBetween(all: Candidates, from: number, to: number, count: number): number {
  const fromS = all.timeS[all.at(from)]!;
  const periodS = (all.timeS[all.at(to)]! - fromS) / count;
  const least = FIRED_SHARE * Math.min(all.peak[all.at(from)]!, all.peak[all.at(to)]!);
  const seen = new Set<number>();
  for (let c = from + 1; c < to; c++) {
    if (all.peak[all.at(c)]! < least) continue;
    const halves = (2 * (all.timeS[all.at(c)]! - fromS)) / periodS;
    if (Math.abs(halves - Math.round(halves)) < 2 * FIRED_NEAR) seen.add(Math.round(halves));
  }
  let fired = 0;
  for (const half of seen) if (half >= 2 && half <= 2 * count - 2) fired += half % 2 === 0 ? 1 : -1;
  return fired;
}

function tallest({ peak }: Events): number[] {
  const sorted = Float64Array.from(peak).sort();
  const least = TALL_SHARE * (sorted[Math.floor(0.8 * sorted.length)] ?? 0);
  return [...peak.keys()].filter((x) => peak[x]! > least);
}
