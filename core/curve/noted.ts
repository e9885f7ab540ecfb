/** What is known of readings' scatter before any is fitted: the degrees as they were noted in, the step to which they
 * were rounded and what that says of the scatter out. */

/** Steps to which an advance read by eye is rounded, degrees, the coarsest first. Common practice. */
const STEPS_DEG = [2, 1, 0.5];
/** Fewer figures than this may all be whole by chance. */
const FEWEST = 5;
const CLOSE = 1e-6;

const isOnStep = (deg: number, stepDeg: number): boolean =>
  Math.abs(deg / stepDeg - Math.round(deg / stepDeg)) < CLOSE;

/** The step to which degrees were rounded when they were noted.
 * @param degs as noted, nothing corrected
 * @returns 2, 1 or 0.5 degrees; null where they are finer than that, or too few to say */
export function notedStep(degs: readonly number[]): number | null {
  if (degs.length < FEWEST) return null;
  return STEPS_DEG.find((stepDeg) => degs.every((deg) => isOnStep(deg, stepDeg))) ?? null;
}

/** Variance that rounding adds to a reading, degrees squared.
 * @source Variance of a uniform distribution: its width squared over 12 */
export const roundingVariance = (stepDeg: number | null): number => (stepDeg ?? 0) ** 2 / 12;

/** What is known of the scatter beforehand, as so many more readings with these squared residuals together. */
export interface KnownScatter {
  readonly count: number;
  readonly squares: number;
}

/** An eye's own standard deviation before rounding, degrees: from 0.3 for a steady mark to 0.8 for one that wanders.
 * Common practice; for how many readings it counts is measured on made sets of 10 to 16: fewer leave the scatter of
 * readings that agree by chance too small and all-in unseen, more that of a bad light. */
const EYE_SD_DEG = 0.5;
const EYE_COUNT = 3;

/** Readings that are rounded were read by eye, and a few of them often agree far better than such readings do. Of
 * others nothing is known: a sensor's are as good as they show. */
export function knownScatter(stepDeg: number | null): KnownScatter {
  if (stepDeg === null) return { count: 0, squares: 0 };
  return { count: EYE_COUNT, squares: EYE_COUNT * (EYE_SD_DEG ** 2 + roundingVariance(stepDeg)) };
}
