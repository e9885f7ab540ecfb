/** Dwell heard on the coil lead, in words: what the sound says in; figures with their unit, or why there is none, out. */
import type { DwellSeen } from '../../../core/decode-dwell';
import type { Pickup } from '../../../core/engine';
import { numberText } from '../../format';

/** 95 of 100 lie within so many standard deviations. */
const SURE = 1.96;
/** No figure is told finer. */
const LEAST_DEG = 0.1;

const REASONS = {
  'too few strikes': 'Listening: too few strikes yet.',
  'uneven beat': 'The strikes do not come evenly: dwell is read where they do.',
  'not seen': 'This sound does not carry it: nothing between the strikes keeps to the cam.',
  'speed unchanged':
    'Something comes between the strikes, and may be the points or the end of the spark: change the speed, by a quarter or more, to tell them apart.',
  several: 'More than one thing keeps to the cam between the strikes: is the clamp on the coil lead?',
} as const;

/** @param seen null where the clamp does not sit on the coil lead, or nothing was heard yet
 * @returns why no dwell is seen, as a sentence; null where it is */
export function noDwellText(seen: DwellSeen | null, pickup: Pickup): string | null {
  if (seen?.dwell) return null;
  if (seen?.reason) return REASONS[seen.reason];
  return pickup === 'coil'
    ? 'Start listening: from the coil lead the points may be heard as they close.'
    : 'The clamp is not on the coil lead: only there may the points be heard as they close. Key in what a dwell meter says.';
}

/** @returns "± 0.2°, 65.3 ± 0.5 % of the interval" */
export function dwellInterval({ degSd, percent, percentSd }: NonNullable<DwellSeen['dwell']>): string {
  const half = Math.max(LEAST_DEG, SURE * degSd);
  const share = Math.max(LEAST_DEG, SURE * percentSd);
  return `± ${numberText(half, 1)}°, ${numberText(percent, 1)} ± ${numberText(share, 1)} % of the interval`;
}
