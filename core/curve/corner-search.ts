/** The search for corners: a sweep and the places each corner may take in; the least squared sum along each corner's
 * path, the stretch worth a closer look and the best corners out. Looks everywhere first, so no guess is needed. */
import type { RampSweep } from './ramp-sweep';

/** The least squared sum at each of a grid of places of one corner. */
export interface CornerProfile {
  readonly at: Float64Array;
  readonly least: Float64Array;
}

export interface Look {
  readonly profiles: readonly CornerProfile[];
  readonly corners: Float64Array;
  /** The least squared sum; infinite where the points support no choice. */
  readonly sse: number;
}

/** Between which places a corner may lie; equal where it is fixed. */
export type CornerRange = readonly [low: number, high: number];

/** @returns `count` places from low to high; one place for a fixed corner */
export const evenly = ([low, high]: CornerRange, count: number): Float64Array =>
  high > low
    ? Float64Array.from({ length: count }, (_, i) => low + ((high - low) * i) / (count - 1))
    : Float64Array.of(low);

/** Looks at every choice of corners from the lists. */
export function lookAt(sweep: RampSweep, lists: readonly Float64Array[]): Look {
  const profiles = lists.map((at) => ({ at, least: new Float64Array(at.length).fill(Infinity) }));
  const corners = new Float64Array(lists.length);
  let sse = Infinity;
  sweep.forEach(
    lists.map((at) => sweep.grid(at)),
    (cell, choice) => {
      for (let k = 0; k < profiles.length; k++) {
        const { least } = profiles[k]!;
        if (cell.sse < least[choice[k]!]!) least[choice[k]!] = cell.sse;
      }
      if (cell.sse >= sse) return;
      sse = cell.sse;
      corners.set(cell.corners);
    },
  );
  return { profiles, corners, sse };
}

/** The stretch of each corner within which the squared sum can be at most `limit`: a step more on each side of the
 * places that are, and of the best corner, inside the range. */
export function closer(
  look: Look,
  limit: number,
  best: ArrayLike<number>,
  ranges: readonly CornerRange[],
): CornerRange[] {
  return look.profiles.map(({ at, least }, k) => {
    if (at.length === 1) return ranges[k]!;
    const step = at[1]! - at[0]!;
    let [from, to] = [best[k]!, best[k]!];
    for (let i = 0; i < at.length; i++)
      if (least[i]! <= limit) [from, to] = [Math.min(from, at[i]!), Math.max(to, at[i]!)];
    const [low, high] = ranges[k]!;
    return [Math.max(low, from - step), Math.min(high, to + step)];
  });
}

const OFFSETS = [-1, -0.5, 0, 0.5, 1];

/** The foot of the valley that `look` found, to within its grid's step over 2 to the power of `rounds`. */
export function settle(sweep: RampSweep, look: Look, ranges: readonly CornerRange[], rounds: number): Look {
  const steps = look.profiles.map(({ at }) => (at.length > 1 ? at[1]! - at[0]! : 0));
  let best = look;
  for (let left = rounds, tries = 0; left > 0 && tries < 3 * rounds; tries++) {
    const lists = Array.from(best.corners, (corner, k) => around(corner, steps[k]!, ranges[k]!));
    const next = lookAt(sweep, lists);
    const moved =
      next.sse < best.sse && next.corners.some((c, k) => Math.abs(c - best.corners[k]!) > 0.9 * steps[k]!);
    if (next.sse < best.sse) best = { ...next, profiles: look.profiles };
    if (moved) continue; // the foot lies outside what was looked at
    steps.forEach((step, k) => (steps[k] = step / 2));
    left--;
  }
  return best;
}

function around(corner: number, step: number, [low, high]: CornerRange): Float64Array {
  if (step === 0) return Float64Array.of(corner);
  return Float64Array.from(
    new Set(OFFSETS.map((share) => Math.min(high, Math.max(low, corner + share * step)))),
  );
}
