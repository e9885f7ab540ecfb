/** The moment that a reading is pinned to: the trace in, the speed over the stretch in which the mark was read out. */
import { pinSpeed, type PinnedSpeed } from '../../core/reading';
import type { TraceView } from './contracts';

/** The mark is watched for about so long before the key goes down; at a slow idle, for at least so many strikes. */
const STRETCH_S = 1.5;
const FEWEST_STRIKES = 5;

/** @returns null where the trace does not end in a speed */
export function speedOfMoment(trace: TraceView): PinnedSpeed | null {
  const { timeS, rpm } = trace;
  const last = timeS.length - 1;
  if (last < 0 || Number.isNaN(rpm[last])) return null;
  let first = last;
  const isWanted = (row: number): boolean =>
    timeS[last]! - timeS[row]! <= STRETCH_S || last - row < FEWEST_STRIKES;
  while (first > 0 && !Number.isNaN(rpm[first - 1]) && isWanted(first - 1)) first--;
  return pinSpeed({ timeS: timeS.subarray(first), rpm: rpm.subarray(first) }, timeS[first]!, timeS[last]!);
}
