/** Robust location and scale: numbers in, a middle and a spread that a few strays do not move out. */
import { median } from 'simple-statistics';

export interface RobustMean {
  readonly mean: number;
  /** 0 where more than half of the values are the same. */
  readonly sd: number;
}

/** Turns a median absolute deviation into the standard deviation of normal scatter: 1/Φ⁻¹(3/4). */
export const MAD_TO_SD = 1.482602218505602;
/** Deviations past so many standard deviations count as this far. */
const REACH = 1.5;
/** Mean of a standard normal's squared deviation with that reach: θ + k²(1 − θ) − 2kφ(k), θ = 2Φ(k) − 1, k = 1.5. */
const CONSISTENCY = 0.7784652161;

/** Huber's mean and standard deviation together ("proposal 2").
 * @param values any order
 * @returns null for no values
 * @source P. J. Huber, Robust Statistics (1981), section 6.4, as in W. N. Venables and B. D. Ripley's hubers (from
 * memory) */
export function robustMean(values: readonly number[]): RobustMean | null {
  if (values.length === 0) return null;
  let mean = median([...values]);
  let sd = MAD_TO_SD * median(values.map((value) => Math.abs(value - mean)));
  if (values.length < 3 || sd === 0) return { mean, sd };
  for (let round = 0; round < 100; round++) {
    const [low, high] = [mean - REACH * sd, mean + REACH * sd];
    const drawn = values.map((value) => Math.min(high, Math.max(low, value)));
    const nextMean = drawn.reduce((sum, value) => sum + value, 0) / values.length;
    const squares = drawn.reduce((sum, value) => sum + (value - nextMean) ** 2, 0);
    const nextSd = Math.sqrt(squares / (values.length - 1) / CONSISTENCY);
    const still = Math.abs(nextMean - mean) < 1e-9 * sd && Math.abs(nextSd - sd) < 1e-9 * sd;
    [mean, sd] = [nextMean, nextSd];
    if (still || sd === 0) break;
  }
  return { mean, sd };
}
