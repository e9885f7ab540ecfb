/** Finds a beat among impulses: the candidates of the last moments in, the chain of strikes that explains them best
 * out, or none. Batch work, done only while no beat is followed. */
import { hearsOthers, type Beat, type BeatLimits } from '../beat/beat-limits';
import { LIVE, type Care } from '../beat/following';
import { MOST_LEADS } from '../beat/lead-heights';
import type { Candidates } from '../impulses/candidates';
import { believedCost, chainEnds, strikesOf, type ChainEnd } from './chain-search';
import { cutBeat } from './cut-beat';
import { backAmongNoise } from './back-among-noise';
import { extendBack } from './extend-back';
import { alike, gatherEvents, lastOf, type Events } from './events';
import { cannotBeMore, fewStandTall, oneLead, type LeadGuess } from './one-lead';
import { countStrikes, unevenBeat } from './uneven-beat';

/** Events looked at, one after the other. */
const WINDOWS = [Infinity, 128, 64] as const;
const FEWEST = 5;
/** Lead over a beat of another period that makes a beat believed. */
const BELIEVED_LEAD = 4;
/** Last intervals of one beat differ by less, and its mean ones; so many of its strikes are the same. */
const SAME_PERIOD = 0.25;
const SAME_MEAN_PERIOD = 0.03;
const SHARED_STRIKES = 0.8;
/** One lead's beat is believed once it has run so long: the other leads' strikes may come at even intervals too. */
const RUNS_FOR_S = 0.7;
const RUNS_FOR_STRIKES = 48;
/** Leads are told apart by so many strikes, the last: where one was miscounted, all before it mislead. */
const COUNTED = [Infinity, 64, 32] as const;
/** An uneven beat shows in so many rounds of its pattern. */
const ROUNDS_FOR_UNEVEN = 3.5;
/** An even beat that misses more than so often is doubted on a lead that may fire unevenly, for so many rounds. */
const MISSED_IF_EVEN = 0.12;
const ROUNDS_FOR_GAPS = 12;
/** So long one waits to see which of several leads is the clamped one. */
const UNSURE_FOR_S = 4;

/** @param from oldest candidate to look at @param nowS up to when the signal is known
 * @param care with which a beat among noise is followed back to its first strikes
 * @returns the beat, or null where none is believed yet */
export function findBeat(
  all: Candidates,
  from: number,
  nowS: number,
  limits: BeatLimits,
  last: boolean,
  care: Care = LIVE,
): Beat | null {
  const oldest = Math.max(from, all.first);
  const signs = limits.twoEdges ? ([1, -1] as const) : ([0] as const);
  let best: Choice | null = null;
  for (const sign of signs) {
    const events = gatherEvents(all, oldest, limits, sign);
    if (events.candidate.length < FEWEST) continue;
    const chosen = chooseWithin(all, events, nowS, limits, last);
    if (!chosen || (best && best.cost <= chosen.cost)) continue;
    const swings = alike(all, chosen.beat?.strikes ?? []);
    const beat = chosen.beat && sign === 0 ? { ...chosen.beat, ...swings } : chosen.beat;
    best = { cost: chosen.cost, beat: beat && sign !== 0 ? { ...beat, sign } : beat };
  }
  if (!best?.beat) return null;
  return all.standsOver > 0 && !best.beat.pattern
    ? backAmongNoise(all, best.beat, oldest, limits, care)
    : extendBack(all, best.beat, oldest, limits);
}

interface Choice {
  readonly cost: number;
  readonly beat: Beat | null;
}

/** Looks at all events, then at ever fewer of the last: where strays and misfires are many, a long chain loses count. */
function chooseWithin(
  all: Candidates,
  events: Events,
  nowS: number,
  limits: BeatLimits,
  last: boolean,
): Choice | null {
  const sinceS = events.timeS[0]!;
  let first: Choice | null = null;
  for (const most of WINDOWS) {
    if (first && events.candidate.length <= most) continue;
    const choice = choose(all, lastOf(events, most), nowS, sinceS, limits, last);
    if (choice?.beat) return choice;
    first ??= choice;
  }
  return first;
}

function choose(
  all: Candidates,
  events: Events,
  nowS: number,
  sinceS: number,
  limits: BeatLimits,
  last: boolean,
): Choice | null {
  const uneven = limits.patternLength > 1 ? unevenBeat(events, limits) : null;
  if (uneven) return { cost: 0, beat: uneven };
  const rounds =
    (limits.patternLength > 2 ? countStrikes(events) : events.candidate.length) / limits.patternLength;
  if (limits.patternLength > 1 && rounds < ROUNDS_FOR_UNEVEN && !last) return null; // may be uneven yet
  const cut = hearsOthers(limits) && !events.weak ? cutBeat(all, events, limits) : null;
  if (cut) return { cost: 0, beat: cut };
  const ends = chainEnds(events, nowS, limits);
  let best = ends[0];
  for (const end of ends) if (best && end.cost < best.cost) best = end;
  if (!best) return null;
  const heardS = nowS - sinceS;
  const beat = clampedLead(events, beatOf(events, best), heardS, limits);
  if (!beat) return { cost: best.cost, beat: null };
  const n = beat.strikes.length * beat.lead;
  const believed =
    n >= (beat.lead > 1 ? 2 : FEWEST) &&
    best.cost < believedCost(events, n) &&
    !hasRival(events, ends, best, beat, last ? Infinity : heardS, limits) &&
    (last || runsLong(beat, events, limits)) &&
    !mayBeUneven(beat, limits, rounds);
  return { cost: best.cost, beat: believed ? beat : null };
}

/** Whether a beat of another period explains the impulses nearly as well. One that comes to the same strikes, once its
 * leads are told apart, is the same beat; while they are not surely told apart it may be all of one lead's.
 * @param heardS so long has been listened */
function hasRival(
  events: Events,
  ends: readonly ChainEnd[],
  best: ChainEnd,
  beat: Beat,
  heardS: number,
  limits: BeatLimits,
): boolean {
  const same = limits.patternLength > 1 ? 0.6 : SAME_PERIOD; // long and short intervals are one beat
  const isOther = (one: ChainEnd, other: ChainEnd): boolean =>
    Math.abs(Math.log(one.periodS / other.periodS)) > same;
  let rivals = ends.filter((end) => end.cost - best.cost <= BELIEVED_LEAD && isOther(end, best));
  while (rivals.length > 0) {
    const rival = rivals.reduce((least, end) => (end.cost < least.cost ? end : least));
    const theirs = clampedLead(events, beatOf(events, rival), heardS, limits);
    if (!theirs || !isSameBeat(theirs, beat)) return true;
    rivals = rivals.filter((end) => isOther(end, rival));
  }
  return false;
}

function isSameBeat(one: Beat, other: Beat): boolean {
  if (Math.abs(Math.log(one.periodS / other.periodS)) > SAME_MEAN_PERIOD) return false;
  const strikes = new Set(one.strikes);
  const shared = other.strikes.filter((c) => strikes.has(c)).length;
  return shared > SHARED_STRIKES * Math.max(one.strikes.length, other.strikes.length);
}

/** The beat of the clamped lead alone; null while it is not clear which strikes are its. */
function clampedLead(events: Events, beat: Beat, heardS: number, limits: BeatLimits): Beat | null {
  if (limits.patternLength > 2) return beat; // a coil lead hears no other
  const peakOf = new Map(events.candidate.map((c, x) => [c, events.logPeak[x]!]));
  const mayBeMixed = limits.patternLength === 1;
  let isUnsure = false;
  let likely: Beat | null = null;
  for (const most of COUNTED) {
    if (most !== Infinity && beat.strikes.length <= most) continue;
    const part = most === Infinity ? beat : lastStrikes(beat, most);
    const guess = guessLead(part, peakOf, limits.patternLength);
    const { own } = guess;
    const isMixed = mayBeMixed && fewStandTall(own.strikes.map((c) => peakOf.get(c)!));
    if (own === part) isUnsure ||= isMixed;
    else if (guess.sure && !isMixed) return own;
    else isUnsure = true;
    if (own !== part && guess.likely) likely ??= own;
  }
  return isUnsure && heardS < UNSURE_FOR_S ? null : (likely ?? beat);
}

/** The tallest of the leads that a beat may be made of. Every other lead together may stand out of all sooner than the one
 * that does: then the tallest among those. */
function guessLead(
  beat: Beat,
  peakOf: ReadonlyMap<number, number>,
  patternLength: number,
): { own: Beat; sure: boolean; likely: boolean } {
  let found = { own: beat, sure: true, likely: true };
  for (;;) {
    const { own } = found;
    const isFirst = own === beat;
    if (!isFirst && patternLength > 1) return found;
    let place = 0;
    const places = own.steps.map((step) => (place += step));
    const guess = oneLead(
      own.strikes.map((c) => peakOf.get(c)!),
      places,
      patternLength,
    );
    if (guess.every === 1 || guess.every * own.lead > MOST_LEADS) return found;
    if (!isFirst && !guess.sure) return { ...found, sure: found.sure && !guess.suspect };
    const { sure, likely } = guess;
    found = { own: ofLead(own, places, guess), sure: sure && found.sure, likely: likely && found.likely };
  }
}

function lastStrikes(beat: Beat, most: number): Beat {
  const strikes = beat.strikes.slice(-most);
  return { ...beat, strikes, steps: [0, ...beat.steps.slice(-most + 1)] };
}

function ofLead(beat: Beat, places: readonly number[], { every, first }: LeadGuess): Beat {
  const own = beat.strikes.map((_, i) => i).filter((i) => places[i]! % every === first);
  const steps = own.map((i, k) => (k === 0 ? 0 : (places[i]! - places[own[k - 1]!]!) / every));
  const strikes = own.map((i) => beat.strikes[i]!);
  return { ...beat, strikes, steps, periodS: beat.periodS * every, lead: beat.lead * every };
}

/** An even beat that often misses: more likely an uneven one that is not seen yet. */
function mayBeUneven({ steps }: Beat, { patternLength }: BeatLimits, rounds: number): boolean {
  if (patternLength < 3 || rounds > ROUNDS_FOR_GAPS) return false;
  const missed = steps.reduce((sum, step) => sum + Math.max(0, step - 1), 0);
  return missed > MISSED_IF_EVEN * steps.length;
}

function runsLong(beat: Beat, events: Events, limits: BeatLimits): boolean {
  const { strikes, periodS } = beat;
  const enough = limits.patternLength > 1 ? 2 * limits.patternLength : RUNS_FOR_STRIKES;
  if (strikes.length >= enough || strikes.length * periodS >= RUNS_FOR_S) return true;
  if (!hearsOthers(limits) || events.weak || beat.lead > 1) return false;
  const logPeakOf = new Map(events.candidate.map((c, x) => [c, events.logPeak[x]!]));
  const most = Math.floor(limits.longestS / periodS); // more leads than this would turn too slowly
  return cannotBeMore(
    strikes.map((c) => logPeakOf.get(c)!),
    most,
  );
}

function beatOf(events: Events, end: ChainEnd): Beat {
  const { places, steps } = strikesOf(end);
  const intervals = steps.reduce((sum, step) => sum + step, 0);
  const spanS = events.timeS[places[places.length - 1]!]! - events.timeS[places[0]!]!;
  return {
    strikes: places.map((x) => events.candidate[x]!),
    steps,
    sign: 1,
    periodS: spanS / intervals,
    lead: 1,
    pattern: null,
    isCut: false,
  };
}
