/** Where rounds of a pattern begin and end: impulses and one round's length in, the times that bound the rounds out, oldest
 * first. Batch work. */
import type { Events } from './events';

/** Rounds looked at, at the least and at the most. */
const LEAST_ROUNDS = 3;
const MOST_ROUNDS = 6;
/** From round to round the length may change by so much; more where the strike between two did not come. */
const MOST_CHANGE = 0.12;

/** Goes back from one strike to the same place in the rounds before; at one missed time it goes by the length.
 * @param end of the strike that ends the last round @param cycleS about one round
 * @returns null where fewer than three rounds are in what was heard */
export function roundsBack({ timeS }: Events, end: number, cycleS: number): number[] | null {
  const bounds = [timeS[end]!];
  let length = cycleS;
  let missed = 0;
  while (bounds.length <= MOST_ROUNDS) {
    const dueS = bounds[0]! - length;
    if (dueS < timeS[0]! - 1e-6) break;
    const nearest = nearestTo(timeS, dueS);
    const hit = Math.abs(nearest - dueS) < MOST_CHANGE * length * (bounds.length === 1 ? 0.01 : 0.25);
    if (!hit && ++missed > 1) break;
    if (hit) length = bounds[0]! - nearest;
    bounds.unshift(hit ? nearest : dueS);
  }
  return bounds.length > LEAST_ROUNDS ? bounds : null;
}

function nearestTo(timeS: Float64Array, atS: number): number {
  let [low, high] = [0, timeS.length - 1];
  while (low < high) {
    const mid = (low + high) >> 1;
    if (timeS[mid]! < atS) low = mid + 1;
    else high = mid;
  }
  return low > 0 && atS - timeS[low - 1]! < timeS[low]! - atS ? timeS[low - 1]! : timeS[low]!;
}
