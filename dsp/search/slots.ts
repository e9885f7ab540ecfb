/** The places of a pattern: impulses and the bounds of its rounds in, where in a round impulses come again and again out.
 * Batch work. */
import { KICK_S } from '../beat/beat-costs';
import { SWING_S, type Events } from './events';

export interface Slot {
  /** Place in the round, 0 to 1; the mean. */
  readonly phase: number;
  /** Mean peak. */
  readonly height: number;
  /** Its impulses by their place among the events, one a round at the most, and the round of each. */
  readonly places: readonly number[];
  readonly rounds: readonly number[];
  /** Place in the round of each. */
  readonly phases: readonly number[];
  /** Impulses just before this place that belong to none. */
  readonly others: number;
}

/** In a round's length: impulses of one place follow each other so closely, and lie within so much. */
const CLOSE = 0.012;
const WIDE = 0.045;
/** A place is one where in so many of the rounds an impulse came. */
const CAME = 0.6;
const CAME_AT_LEAST = 3;

interface Placed {
  readonly x: number;
  readonly round: number;
  readonly phase: number;
  readonly peak: number;
}

/** @param bounds of the rounds, oldest first @returns by phase */
export function slotsOf(events: Events, bounds: readonly number[]): Slot[] {
  const rounds = bounds.length - 1;
  const placed = placesIn(events, bounds).sort((a, b) => a.phase - b.phase);
  // of one strike now this swing is the tallest, now that one
  const close = Math.max(CLOSE, (SWING_S * rounds) / (bounds[rounds]! - bounds[0]!));
  const slots: Slot[] = [];
  let others = 0;
  for (let from = 0; from < placed.length;) {
    let to = from + 1;
    while (to < placed.length && belongs(placed, from, to, close)) to++;
    const members = onePerRound(placed.slice(from, to));
    if (members.length >= Math.max(CAME_AT_LEAST, CAME * rounds)) {
      slots.push(slotOf(members, others + apartFrom(members, placed.slice(from, to), events)));
      others = 0;
    } else others += to - from;
    from = to;
  }
  const last = slots[slots.length - 1];
  if (last) slots[slots.length - 1] = { ...last, others: last.others + others };
  return slots;
}

const belongs = (placed: readonly Placed[], from: number, next: number, close: number): boolean =>
  placed[next]!.phase - placed[next - 1]!.phase < close && placed[next]!.phase - placed[from]!.phase < WIDE;

/** The rounds begin a little before the strike that bounds them. */
function placesIn({ timeS, peak }: Events, bounds: readonly number[]): Placed[] {
  const placed: Placed[] = [];
  let round = 0;
  for (let x = 0; x < timeS.length; x++) {
    const lead = (r: number): number =>
      bounds[r]! -
      WIDE * (bounds[Math.min(r + 1, bounds.length - 1)]! - bounds[Math.min(r, bounds.length - 2)]!);
    if (timeS[x]! < lead(0)) continue;
    while (round < bounds.length - 1 && timeS[x]! >= lead(round + 1)) round++;
    if (round === bounds.length - 1) break;
    const phase = (timeS[x]! - bounds[round]!) / (bounds[round + 1]! - bounds[round]!);
    placed.push({ x, round, phase, peak: peak[x]! });
  }
  return placed;
}

/** The tallest of each round, in order of the rounds. */
function onePerRound(members: readonly Placed[]): Placed[] {
  const tallest = new Map<number, Placed>();
  for (const one of members) if (one.peak >= (tallest.get(one.round)?.peak ?? 0)) tallest.set(one.round, one);
  return [...tallest.values()].sort((a, b) => a.round - b.round);
}

/** How many come neither as a place's impulse nor as that one's kick or ringing. */
function apartFrom(members: readonly Placed[], all: readonly Placed[], { timeS }: Events): number {
  const own = new Map(members.map(({ round, x }) => [round, timeS[x]!]));
  return all.filter(({ round, x }) => Math.abs(timeS[x]! - own.get(round)!) > KICK_S).length;
}

function slotOf(members: readonly Placed[], others: number): Slot {
  const mean = (of: (one: Placed) => number): number =>
    members.reduce((sum, one) => sum + of(one), 0) / members.length;
  return {
    phase: mean(({ phase }) => phase),
    height: mean(({ peak }) => peak),
    places: members.map(({ x }) => x),
    rounds: members.map(({ round }) => round),
    phases: members.map(({ phase }) => phase),
    others,
  };
}
