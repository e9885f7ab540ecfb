/** The advance now by the crank sensor: the last sparks in; their mean, how sure it is and how they scatter out. */
import { tQuantile } from '../../core/curve/student-t';
import type { LiveState } from './contracts';

/** A second and a half of one lead at 1000 rpm: what a person would watch. */
const SPARKS = 12;
const FEWEST = 4;

export interface SensorMean {
  readonly meanDeg: number;
  /** Half of the mean's 95 % interval. */
  readonly halfDeg: number;
  /** Standard deviation of single sparks. */
  readonly scatterDeg: number;
  readonly sparks: number;
}

/** @returns null where no speed is followed, or fewer than four sparks are known
 * @source Student's t interval of a mean */
export function meanNow({ rpm, latest }: Pick<LiveState, 'rpm' | 'latest'>): SensorMean | null {
  const last = latest?.sensor?.recentDeg.slice(-SPARKS) ?? [];
  const n = last.length;
  if (rpm === null || n < FEWEST) return null;
  const meanDeg = last.reduce((sum, deg) => sum + deg, 0) / n;
  const scatterDeg = Math.sqrt(last.reduce((sum, deg) => sum + (deg - meanDeg) ** 2, 0) / (n - 1));
  return { meanDeg, scatterDeg, sparks: n, halfDeg: (tQuantile(0.05, n - 1) * scatterDeg) / Math.sqrt(n) };
}
