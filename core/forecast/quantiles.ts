/** Drawn values in, a figure with the ends of its 95 % interval out. */
import type { Figure } from '../fit';

/** @param values one or more
 * @returns the mean, and the places that 2.5 % of the values lie below and above */
export function figureOf(values: readonly number[], outside = 0.05): Figure {
  const rising = Float64Array.from(values).sort();
  const at = (share: number): number => {
    const place = share * (rising.length - 1);
    const below = Math.floor(place);
    const above = Math.min(below + 1, rising.length - 1);
    return rising[below]! + (place - below) * (rising[above]! - rising[below]!);
  };
  const [low, high] = [at(outside / 2), at(1 - outside / 2)];
  const mean = rising.reduce((sum, value) => sum + value, 0) / rising.length;
  return { value: Math.min(high, Math.max(low, mean)), low, high };
}

/** @returns the share of the items that are so, 0 to 1; none of no items */
export const shareOf = <T>(items: readonly T[], is: (item: T) => boolean): number =>
  items.length === 0 ? 0 : items.filter(is).length / items.length;
