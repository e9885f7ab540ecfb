/** Quantiles of plain numbers. */

/** @param values not empty, any order; left as they are @param share 0 to 1 @returns the nearest of them by rank */
export function quantileOf(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.round(share * (sorted.length - 1))]!;
}

/** The middle one, the upper of two. @param values not empty, any order; left as they are */
export const middleOf = (values: readonly number[]): number => quantileOf(values, 0.5);
