/** The beat of a lead that fires unevenly, as a coil lead of an odd-fire engine does: the same intervals come round after
 * so many strikes. And of one whose kicks, between strikes, seem to make such a pattern. Events in, the beat out, with its
 * pattern where it is uneven, or null where none shows. Batch work. */
import { KICK_S, KICK_SHARE, repeatsS } from '../beat/beat-costs';
import type { Beat, BeatLimits } from '../beat/beat-limits';
import { middleOf } from '../quantile-of';
import type { Events } from './events';
import { areKept, kickedPlaces } from './kicked-places';
import { roundsBack } from './rounds-back';
import { slotsOf, type Slot } from './slots';

/** Intervals that differ from the mean by less are even. */
const LEAST_UNEVEN = 0.07;
/** Without their kicks so many impulses come after one interval, within so much of it, that firing is even. */
const EVEN = 0.75;
const EVEN_WITHIN = 0.04;
/** Of all strikes that the rounds should have, so many came; of all impulses in them, so many were strikes. */
const CAME = 0.8;
const WERE = 0.8;
/** A pattern that even firing with strikes missing would show as well is believed after so many rounds, where a strike besides
 * came in one of them. */
const ROUNDS_IF_WHOLE = 5;
/** One lead's strikes are of one height, as far as few of them tell. */
const LEAST_HEIGHT = 0.6;
/** The kicks of one engine come as long after their strikes, to within so much. */
const SAME_KICK_S = 0.3e-3;
/** So many of the places of an even beat are filled, where strikes were taken for kicks. */
const FILLED = 0.75;
/** A strike's ringing may lift its kick. */
const TALL_KICK_SHARE = 1.1;
/** By the shortest mean interval there can be, no two strikes of uneven firing are closer. */
const LEAST_INTERVAL = 0.4;
/** Each of the last so many strikes, and some more, is tried for the end of the last round. */
const MORE_ANCHORS = 2;
/** From strike to strike of one place there lie so many fewer impulses than strikes, or more. */
const FEWER = 2;
const MORE_SHARE = 1;

/** @returns the beat, or null where neither an uneven one comes round nor one with kicks */
export function unevenBeat(events: Events, limits: BeatLimits): Beat | null {
  const kicked = patternOf(events, limits, kickedRound);
  if (kicked) return kicked;
  const strikes = withoutKicks(events);
  const comesRound: ComesRound = (...round) => unevenRound(events, ...round);
  return (
    patternOf(strikes, limits, comesRound) ??
    (areEven(strikes.timeS) ? null : patternOf(events, limits, comesRound))
  );
}

/** A beat that comes round. */
interface Round {
  readonly beat: Beat;
  /** The higher, the surer. */
  readonly rank: number;
}
type ComesRound = (
  events: Events,
  bounds: readonly number[],
  cycleS: number,
  limits: BeatLimits,
) => Round | null;

/** How many of the impulses are no kicks. */
export const countStrikes = (events: Events): number => withoutKicks(events).candidate.length;

/** Whether nearly all come after the same interval: then nothing is left that kicks taken for strikes could tell of. */
function areEven(timeS: Float64Array): boolean {
  const intervals = Array.from(timeS.subarray(1), (each, x) => each - timeS[x]!);
  const usual = middleOf(intervals);
  const alike = intervals.filter((interval) => Math.abs(interval / usual - 1) < EVEN_WITHIN).length;
  return alike > EVEN * intervals.length;
}

function withoutKicks(events: Events): Events {
  const { timeS, peak, logPeak, over, candidate } = events;
  const kept: number[] = [];
  for (let x = 0; x < timeS.length; x++) {
    const last = kept[kept.length - 1];
    const kicks =
      last !== undefined && timeS[x]! - timeS[last]! < KICK_S && peak[x]! < KICK_SHARE * peak[last]!;
    if (!kicks) kept.push(x);
  }
  const of = (column: Float64Array): Float64Array => Float64Array.from(kept, (x) => column[x]!);
  return {
    candidate: kept.map((x) => candidate[x]!),
    timeS: of(timeS),
    peak: of(peak),
    logPeak: of(logPeak),
    over: of(over),
    weak: events.weak,
  };
}

/** Tries cycles of all lengths that end at one of the last impulses; the surest is taken. */
function patternOf(events: Events, limits: BeatLimits, comesRound: ComesRound): Beat | null {
  const round = limits.patternLength;
  const { timeS } = events;
  let best: Round | null = null;
  for (let back = 0; back < round + MORE_ANCHORS; back++) {
    const end = timeS.length - 1 - back;
    for (let k = round - FEWER; k <= round * (1 + MORE_SHARE); k++) {
      if (k < 1 || end - k < 0) continue;
      const cycleS = timeS[end]! - timeS[end - k]!;
      if (cycleS < round * limits.shortestS || cycleS > round * limits.longestS) continue;
      const bounds = roundsBack(events, end, cycleS);
      const found = bounds && comesRound(events, bounds, cycleS, limits);
      if (found && (!best || found.rank > best.rank)) best = found;
    }
  }
  return best?.beat ?? null;
}

/** A beat, even or not, whose kicks are seen. */
function kickedRound(
  events: Events,
  bounds: readonly number[],
  cycleS: number,
  limits: BeatLimits,
): Round | null {
  const all = slotsOf(events, bounds);
  const kicked = kickedPlaces(all, cycleS);
  if (kicked?.own.length !== limits.patternLength || !ofOneHeight(kicked.own)) return null;
  const round = areMost(all) ? roundOf(events, kicked.own, bounds.length - 1, cycleS) : null;
  return round && { ...round, rank: kicked.looser };
}

/** A beat that is not even, by its places.
 * @param heard all impulses, kicks as well @param events in which its rounds are looked for */
function unevenRound(
  heard: Events,
  events: Events,
  bounds: readonly number[],
  cycleS: number,
  limits: BeatLimits,
): Round | null {
  const round = limits.patternLength;
  const all = slotsOf(events, bounds);
  if (all.length === 0 || isEvenButForKicks(all, cycleS)) return null;
  const over = ownSlots(all, cycleS, limits);
  if (over.length < round) return null;
  const places = slotsOf(heard, bounds);
  const slots = withoutTallKicks(over, places, cycleS);
  if (slots.length !== round || !ofOneHeight(slots) || !areKept(slots, cycleS)) return null;
  const found = areMost(slots) ? roundOf(events, slots, bounds.length - 1, cycleS) : null;
  if (!found?.beat.pattern) return null;
  const mayMiss = bounds.length <= ROUNDS_IF_WHOLE && othersOf(slots) > 0;
  if (mayMiss && areWhole(found.beat.pattern)) return null;
  const kicked = kickedPlaces(places, cycleS);
  return kicked && kicked.own.length !== round ? null : found;
}

/** Impulses that these places have, and those about them that belong to none. */
const ownOf = (slots: readonly Slot[]): number => slots.reduce((sum, { places }) => sum + places.length, 0);
const othersOf = (slots: readonly Slot[]): number => slots.reduce((sum, { others }) => sum + others, 0);
const areMost = (slots: readonly Slot[]): boolean => ownOf(slots) >= WERE * (ownOf(slots) + othersOf(slots));

/** Whether intervals are whole multiples of the shortest, as those of even firing are where strikes are missing. */
function areWhole(pattern: readonly number[]): boolean {
  const shortest = Math.min(...pattern);
  return pattern.every((shift) => {
    const multiple = Math.exp(shift - shortest);
    return Math.abs(Math.log(multiple / Math.round(multiple))) < LEAST_UNEVEN;
  });
}

/** @returns null where too few strikes came */
function roundOf(events: Events, slots: readonly Slot[], rounds: number, cycleS: number): Round | null {
  const round = slots.length;
  const came = ownOf(slots) / (round * rounds);
  if (came < CAME) return null;
  const pattern = slots.map(({ phase }, s) =>
    Math.log(((slots[s + 1]?.phase ?? 1 + slots[0]!.phase) - phase) * round),
  );
  const isEven = pattern.every((shift) => Math.abs(shift) < LEAST_UNEVEN);
  return { beat: beatOf(events, slots, isEven ? null : pattern, cycleS / round), rank: came };
}

/** Without those where kicks or repeats of the strike before fall. */
function ownSlots(slots: readonly Slot[], cycleS: number, limits: BeatLimits): Slot[] {
  const periodS = cycleS / limits.patternLength;
  const own: Slot[] = [];
  for (const slot of slots) {
    const last = own[own.length - 1];
    const sinceS = last ? (slot.phase - last.phase) * cycleS : Infinity;
    const kicks = last && sinceS < KICK_S && slot.height < KICK_SHARE * last.height;
    if (!kicks && sinceS > Math.max(repeatsS(periodS, limits.repeatShare), LEAST_INTERVAL * limits.shortestS))
      own.push(slot);
  }
  return own;
}

/** Without kicks that are as tall as their strikes by the ringing they stand in: those of other strikes, as long after, are
 * lower, and nothing comes so long after a kick as kicks come after strikes.
 * @param heard all places, kicks as well */
function withoutTallKicks(own: readonly Slot[], heard: readonly Slot[], cycleS: number): Slot[] {
  const follower = (slot: Slot, afterS: number): Slot | undefined =>
    heard.find(({ phase }) => {
      const sinceS = ((phase - slot.phase + 1) % 1) * cycleS;
      return Math.abs(sinceS - afterS) < SAME_KICK_S / 2;
    });
  const isKick = (slot: Slot, s: number): boolean => {
    const last = own.at(s - 1)!;
    const afterS = ((slot.phase - last.phase + 1) % 1) * cycleS;
    if (afterS > KICK_S || slot.height > TALL_KICK_SHARE * last.height || follower(slot, afterS))
      return false;
    const kicks = own.map((other) => ({ other, kick: follower(other, afterS) }));
    const low = kicks.filter(({ other, kick }) => kick && kick.height < KICK_SHARE * other.height).length;
    return low > 0 && kicks.filter(({ kick }) => kick).length >= own.length / 2;
  };
  return own.filter((slot, s) => !isKick(slot, s));
}

/** Whether places lie at even distances, few of them empty, and all others are kicks of those, as long after and as low by each. */
function isEvenButForKicks(slots: readonly Slot[], cycleS: number): boolean {
  const tallest = slots.reduce((most, slot) => (slot.height > most.height ? slot : most));
  for (let count = 2; count <= slots.length / FILLED; count++) {
    const even = onLattice(slots, tallest.phase, count);
    if (even.size >= FILLED * count && areKicks(slots, even, cycleS)) return true;
  }
  return false;
}

/** The places nearest to the points of a lattice, as far as they lie on it. */
function onLattice(slots: readonly Slot[], phase: number, count: number): Set<Slot> {
  const even = new Set<Slot>();
  for (const slot of slots) {
    const at = (slot.phase - phase) * count;
    if (Math.abs(at - Math.round(at)) < LEAST_UNEVEN / 2) even.add(slot);
  }
  return even;
}

function areKicks(slots: readonly Slot[], even: ReadonlySet<Slot>, cycleS: number): boolean {
  let [soonestS, latestS] = [Infinity, 0];
  let last = slots.findLast((slot) => even.has(slot))!;
  for (const slot of slots) {
    if (even.has(slot)) {
      last = slot;
      continue;
    }
    const sinceS = ((slot.phase - last.phase + 1) % 1) * cycleS;
    // where some were taken out for kicks before, the tall ones are left
    const most = slot.places.length < last.places.length ? TALL_KICK_SHARE : KICK_SHARE;
    if (sinceS > KICK_S || slot.height > most * last.height) return false;
    soonestS = Math.min(soonestS, sinceS);
    latestS = Math.max(latestS, sinceS);
  }
  return latestS - soonestS < SAME_KICK_S || latestS === 0;
}

function ofOneHeight(slots: readonly Slot[]): boolean {
  const heights = slots.map(({ height }) => height);
  return Math.min(...heights) > LEAST_HEIGHT * Math.max(...heights);
}

/** Strikes in order of time, misses counted; the pattern from the first strike's place on. */
function beatOf(
  events: Events,
  slots: readonly Slot[],
  pattern: readonly number[] | null,
  periodS: number,
): Beat {
  const strikes = slots
    .flatMap(({ places, rounds }, s) => places.map((x, k) => ({ x, at: rounds[k]! * slots.length + s })))
    .sort((a, b) => a.at - b.at);
  const first = strikes[0]!.at % slots.length;
  return {
    strikes: strikes.map(({ x }) => events.candidate[x]!),
    steps: strikes.map(({ at }, k) => (k === 0 ? 0 : at - strikes[k - 1]!.at)),
    sign: 1,
    periodS,
    lead: 1,
    isCut: false,
    pattern: pattern && [...pattern.slice(first), ...pattern.slice(0, first)],
  };
}
