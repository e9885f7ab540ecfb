/** The moment that a reading is pinned to: the trace's last stretch in, its speed and spread out. */
import type { Corrections, Reading } from '../../core/job';
import type { TraceView } from './contracts';

/** The mark is watched for about so long before the key goes down. */
const STRETCH_S = 1.5;
const FEWEST_STRIKES = 5;

export interface MomentSpeed {
  readonly rpm: number;
  readonly rpmSd: number | null;
  readonly steady: boolean | null;
}

/** @returns null where the trace's end does not carry a speed */
export function speedOfMoment({ timeS, rpm }: TraceView): MomentSpeed | null {
  const endS = timeS.at(-1) ?? 0;
  const taken: number[] = [];
  for (let i = timeS.length - 1; i >= 0; i--) {
    if (Number.isNaN(rpm[i])) break;
    if (endS - timeS[i]! > STRETCH_S && taken.length >= FEWEST_STRIKES) break;
    taken.push(rpm[i]!);
  }
  if (taken.length === 0) return null;
  const mean = median(taken);
  const spread = 1.4826 * median(taken.map((each) => Math.abs(each - mean)));
  const half = taken.length >> 1;
  const moved = half > 1 && Math.abs(median(taken.slice(0, half)) - median(taken.slice(half))) > 0.02 * mean;
  return { rpm: mean, rpmSd: taken.length > 1 ? spread : null, steady: !moved };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

/** The advance of a reading with what stands between tape and truth taken off, crank degrees.
 * @source deg = 6 · rpm · seconds: one turn is 360 degrees and 60/rpm seconds */
export const advanceOf = (reading: Pick<Reading, 'rpm' | 'seenDeg'>, corrections: Corrections): number =>
  reading.seenDeg - corrections.tapeZeroErrorDeg + 6 * reading.rpm * corrections.lightDelayUs * 1e-6;
