/** Impulses that may be strikes, told from their own ringing and from what is dwarfed by neighbours: candidates in, plain
 * columns out. Batch work, done only while no beat is followed. */
import { KICK_S } from '../beat/beat-costs';
import { hearsOthers, type BeatLimits } from '../beat/beat-limits';
import type { Candidates } from '../impulses/candidates';
import { burstsOf, type Burst } from './repeats';
import { withoutFollowingKicks } from './following-kicks';

export interface Events {
  /** Candidate numbers, oldest first. */
  readonly candidate: readonly number[];
  readonly timeS: Float64Array;
  readonly peak: Float64Array;
  readonly logPeak: Float64Array;
  /** Peak by the noise there. */
  readonly over: Float64Array;
  /** They stand in noise as tall as they are: some are missing, some are noise. */
  readonly weak: boolean;
}

/** So many impulses are looked at: enough for a second of eight leads of a racing engine. */
const MOST = 320;
/** Impulses beside others so much taller are no strikes of the clamped lead. */
const STRONG_SHARE = 0.3;
const STRONG_REACH_S = 0.15;
/** A strike swings both ways: the tallest swing within so long stands for it. */
export const SWING_S = 0.35e-3;
/** A strike's or a kick's own ringing on a coil lead: so tall by it at the most, and as soon. */
const RINGS_S = 0.6e-3;
const RINGING_SHARE = 0.65;
const RINGING_ALONE_SHARE = 1.1;
/** Where strikes may come faster than kicks, only what follows closely is an echo. */
const FAST_S = 3e-3;

/** @param from oldest candidate to look at
 * @param sign of the impulses wanted; 0: either, told apart by height alone */
export function gatherEvents(all: Candidates, from: number, limits: BeatLimits, sign: 1 | -1 | 0): Events {
  const { shortestS } = limits;
  const floor = floorOf(all, from);
  const candidate: number[] = [];
  const echoS = (shortestS < FAST_S ? 0.2 : 0.6) * shortestS;
  for (let c = all.end - 1; c >= from && candidate.length < MOST; c--) {
    const i = all.at(c);
    if (sign !== 0 && all.sign[i] !== sign) continue;
    if (
      all.peak[i]! < Math.max(STRONG_SHARE * floor[c - from]!, all.standsOver * all.noise[i]!) ||
      all.isEcho(c, echoS, sign === 0 ? SWING_S : 0)
    )
      continue;
    if (sign === 0 && !tallestSwing(all, c, from)) continue;
    candidate.push(c);
  }
  candidate.reverse();
  const strikes = limits.patternLength > 2 ? withoutRinging(all, candidate) : candidate;
  const mayRepeat = sign === 0 && all.standsOver === 0;
  const bursts = mayRepeat ? burstsOf(all, strikes) : null;
  if (bursts) return columnsOf(all, bursts);
  const single = mayRepeat && hearsOthers(limits) ? withoutFollowingKicks(all, strikes) : strikes;
  return columnsOf(
    all,
    single.map((c) => ({ candidate: c, height: all.peak[all.at(c)]! })),
  );
}

/** Without the swings of a strike, or of its kick, that are further off than the other side of the tallest: lower, or as
 * tall where nothing shortly before the first lets it be a kick. On a coil lead no two strikes come so close. */
function withoutRinging(all: Candidates, events: readonly number[]): readonly number[] {
  let [lastS, last, isAlone] = [-Infinity, 0, true];
  return events.filter((c) => {
    const [timeS, peak] = [all.timeS[all.at(c)]!, all.peak[all.at(c)]!];
    const sinceS = timeS - lastS;
    if (sinceS < RINGS_S && peak < (isAlone ? RINGING_ALONE_SHARE : RINGING_SHARE) * last) return false;
    [lastS, last, isAlone] = [timeS, peak, sinceS > KICK_S];
    return true;
  });
}

function columnsOf(all: Candidates, bursts: readonly Burst[]): Events {
  const candidate = bursts.map((burst) => burst.candidate);
  const heights = bursts.map(({ height }) => height);
  return {
    candidate,
    timeS: Float64Array.from(candidate, (c) => all.timeS[all.at(c)]!),
    peak: Float64Array.from(heights),
    logPeak: Float64Array.from(heights, (height) => Math.log(height)),
    over: Float64Array.from(candidate, (c) => all.peak[all.at(c)]! / all.noise[all.at(c)]!),
    weak: all.standsOver > 0,
  };
}

/** The last so many of them. */
export function lastOf(events: Events, most: number): Events {
  if (events.candidate.length <= most) return events;
  return {
    weak: events.weak,
    candidate: events.candidate.slice(-most),
    timeS: events.timeS.slice(-most),
    peak: events.peak.slice(-most),
    logPeak: events.logPeak.slice(-most),
    over: events.over.slice(-most),
  };
}

/** The tallest impulse near each candidate, less the further away. */
function floorOf(all: Candidates, from: number): Float64Array {
  const floor = new Float64Array(Math.max(0, all.end - from));
  const sweep = (first: number, step: number): void => {
    let level = 0;
    let lastS = all.timeS[all.at(first)]!;
    for (let c = first; c >= from && c < all.end; c += step) {
      const timeS = all.timeS[all.at(c)]!;
      level *= Math.exp(-Math.abs(timeS - lastS) / STRONG_REACH_S);
      level = Math.max(level, all.peak[all.at(c)]!);
      lastS = timeS;
      floor[c - from] = Math.max(floor[c - from]!, level);
    }
  };
  if (floor.length === 0) return floor;
  sweep(from, 1);
  sweep(all.end - 1, -1);
  return floor;
}

function tallestSwing(all: Candidates, c: number, from: number): boolean {
  const i = all.at(c);
  for (const step of [-1, 1])
    for (let other = c + step; other >= from && other < all.end; other += step) {
      const j = all.at(other);
      if (Math.abs(all.timeS[j]! - all.timeS[i]!) > SWING_S) break;
      if (all.peak[j]! > all.peak[i]!) return false;
    }
  return true;
}

/** The same impulses by their swings of one sign, as far as they have one: what is averaged must be alike.
 * @returns candidate numbers, and the sign that most of them swing to */
export function alike(all: Candidates, candidates: readonly number[]): { strikes: number[]; sign: 1 | -1 } {
  const sums = { up: 0, down: 0 };
  const swings = candidates.map((c) => {
    const [up, down] = [tallestOf(all, c, 1), tallestOf(all, c, -1)];
    sums.up += up === null ? 0 : all.peak[all.at(up)]!;
    sums.down += down === null ? 0 : all.peak[all.at(down)]!;
    return { c, up, down };
  });
  const sign = sums.up >= sums.down ? 1 : -1;
  return { strikes: swings.map(({ c, up, down }) => (sign === 1 ? up : down) ?? c), sign };
}

function tallestOf(all: Candidates, c: number, sign: number): number | null {
  const atS = all.timeS[all.at(c)]!;
  let tallest: number | null = null;
  for (const step of [-1, 1])
    for (let k = step === -1 ? c : c + 1; k >= all.first && k < all.end; k += step) {
      const j = all.at(k);
      if (Math.abs(all.timeS[j]! - atS) > SWING_S) break;
      if (all.sign[j] !== sign) continue;
      if (tallest === null || all.peak[j]! > all.peak[all.at(tallest)]!) tallest = k;
    }
  return tallest;
}
