/** The moment that a reading is pinned to: the trace in, the speed over the stretch in which the mark was read out. */
import { pinSpeed } from '../../core/reading';
import type { PinnedMoment, TraceView } from './contracts';

/** The mark is watched for about so long before the key goes down; at a slow idle, for at least so many strikes. */
const STRETCH_S = 1.5;
const FEWEST_STRIKES = 5;
/** Fewer strikes, as just after a run's start, do not show whether the speed moved. */
const FEWEST_TO_JUDGE = 3;

/** What a reading takes of its moment. */
export type MomentSpeed = Pick<PinnedMoment, 'rpm' | 'rpmSd' | 'steady'>;

/** The first row of the stretch that ends with the trace; null where the trace does not end in a speed. */
function firstRow({ timeS, rpm }: TraceView): number | null {
  const last = timeS.length - 1;
  if (last < 0 || Number.isNaN(rpm[last])) return null;
  let first = last;
  const isWanted = (row: number): boolean =>
    timeS[last]! - timeS[row]! <= STRETCH_S || last - row < FEWEST_STRIKES;
  while (first > 0 && !Number.isNaN(rpm[first - 1]) && isWanted(first - 1)) first--;
  return first;
}

/** The stretch in which the mark was read, seconds, both ends in it.
 * @returns null where the trace does not end in a speed */
export function stretchOfMoment(trace: TraceView): readonly [number, number] | null {
  const first = firstRow(trace);
  return first === null ? null : [trace.timeS[first]!, trace.timeS.at(-1)!];
}

/** @returns null where the trace does not end in a speed */
export function speedOfMoment(trace: TraceView): MomentSpeed | null {
  const { timeS, rpm, rpmSd } = trace;
  const first = firstRow(trace);
  if (first === null) return null;
  const last = timeS.length - 1;
  const stretch = { timeS: timeS.subarray(first), rpm: rpm.subarray(first) };
  const speed = pinSpeed(stretch, timeS[first]!, timeS[last]!);
  if (!speed || last - first + 1 >= FEWEST_TO_JUDGE) return speed;
  return { ...speed, rpmSd: Number.isNaN(rpmSd[last]) ? null : rpmSd[last]!, steady: null };
}
