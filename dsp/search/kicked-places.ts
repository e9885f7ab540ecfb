/** A coil lead's strikes told from their kicks by when they come: a spark goes out now sooner, now later, but strikes keep
 * their places in a round to a small part of that. Places of a round in, those of the strikes out. Batch work. */
import { KICK_S } from '../beat/beat-costs';
import { middleOf, quantileOf } from '../quantile-of';
import type { Slot } from './slots';

/** No kick comes sooner than this; those of one engine come as long after their strikes, to within so much. */
const SOONEST_S = 0.6e-3;
const SAME_KICK = 0.3;
/** Fewer places tell nothing. */
const FEWEST = 4;
/** So many of the strikes have kicks that can be seen. */
const KICKED = 0.6;
/** Kicks scatter by so many times as much as strikes, and are lower by this, in the middle. */
const LOOSER = 2.5;
const LOWER = 0.97;
/** So many strikes keep their places to so much, and to this share of the mean interval. */
const KEPT_SHARE = 0.65;
const KEPT_WITHIN_S = 15e-6;
const KEPT_WITHIN = 0.015;
/** A kick that rings with another seems taller by its strike than it is, but no more than so. */
const TALLEST = 1.3;

/** Places of the strikes, and how many times as much kicks scatter as they. */
interface KickedPlaces {
  readonly own: readonly Slot[];
  readonly looser: number;
}

/** @param slots all places of the rounds, by phase @param cycleS one round
 * @returns null where strikes do not stand out of kicks */
export function kickedPlaces(slots: readonly Slot[], cycleS: number): KickedPlaces | null {
  if (slots.length < FEWEST) return null;
  const tallest = slots.reduce((most, slot) => (slot.height > most.height ? slot : most));
  let best: KickedPlaces | null = null;
  for (const other of slots) {
    const afterS = sinceS(tallest, other, cycleS);
    if (afterS < SOONEST_S || afterS > KICK_S) continue;
    const kickOf = kicksAt(slots, tallest, afterS, cycleS);
    const own = slots.filter((slot) => !kickOf.has(slot));
    if (kickOf.size < KICKED * own.length) continue;
    const looser = scatterOf([...kickOf.keys()]) / scatterOf(own);
    if (looser < LOOSER || (best && best.looser >= looser) || !areLower(kickOf)) continue;
    best = { own, looser };
  }
  return best;
}

const sinceS = (from: Slot, to: Slot, cycleS: number): number => ((to.phase - from.phase + 1) % 1) * cycleS;

/** Each place that comes so long after a strike's, with that strike's. @param first a strike */
function kicksAt(
  slots: readonly Slot[],
  first: Slot,
  afterS: number,
  cycleS: number,
): ReadonlyMap<Slot, Slot> {
  const kickOf = new Map<Slot, Slot>();
  const from = slots.indexOf(first);
  for (let n = 1; n < slots.length; n++) {
    const slot = slots[(from + n) % slots.length]!;
    const strike = slots.find(
      (other) =>
        !kickOf.has(other) &&
        Math.abs(sinceS(other, slot, cycleS) / afterS - 1) < SAME_KICK &&
        slot.height < TALLEST * other.height,
    );
    if (strike) kickOf.set(slot, strike);
  }
  return kickOf;
}

/** Distance of impulses from the middle one of their place, in rounds. @param slots of two impulses or more
 * @param share of the impulses that are nearer */
const scatterOf = (slots: readonly Slot[], share = 0.5): number =>
  quantileOf(
    slots.flatMap(({ phases }) => {
      const middle = middleOf(phases);
      const off = phases.map((phase) => Math.abs(phase - middle));
      return off.sort((a, b) => a - b).slice(1); // the middle one lies at 0
    }),
    share,
  );

/** Whether strikes keep these places, as strikes do and their kicks do not. @param cycleS one round */
export const areKept = (own: readonly Slot[], cycleS: number): boolean =>
  scatterOf(own, KEPT_SHARE) * cycleS < KEPT_WITHIN_S + (KEPT_WITHIN * cycleS) / own.length;

const areLower = (kickOf: ReadonlyMap<Slot, Slot>): boolean =>
  middleOf([...kickOf].map(([kick, strike]) => kick.height / strike.height)) < LOWER;
