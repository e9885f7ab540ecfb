/** Whether the crank turned as far from one spark to another as the ignition says: both places in, yes or no out. Pulses
 * alone cannot tell every turn from every other one where half of them are lost; the sparks can. */
import { strikesPerTurn, type EngineFacts } from '../engine';
import type { CrankPlace } from './crank-turns';

type Firing = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;

/** A lead's advance never changes by so large a share of its interval from one spark to the next; the cylinders of a coil
 * lead may fire unevenly, by 30 degrees of 120. */
const LEAD_SHARE = 0.1;
const COIL_SHARE = 0.3;
/** The mean of both speeds is good to this share of the turns between the sparks: a corner of the speed, from idle to 7200
 * rpm more in a second, makes an eighth; one speed that is half the other's, a quarter. */
const SPEED_SHARE = 0.2;

/** @param one @param other places of two sparks, in order of time; some may be missing between
 * @param betweenS seconds from one to the other
 * @source Common practice: a plug lead fires once in two turns of a four-stroke, a wasted-spark lead once in each */
export function neighboursAgree(
  engine: Firing,
  one: CrankPlace,
  other: CrankPlace,
  betweenS: number,
): boolean {
  if (one.stretch !== other.stretch) return false;
  const turns = other.allTurns - one.allTurns;
  const bySpeed = ((one.rpm + other.rpm) / 120) * betweenS;
  if (!(Math.abs(turns - bySpeed) < SPEED_SHARE * turns)) return false;
  const intervals = turns * strikesPerTurn(engine);
  const whole = Math.max(1, Math.round(intervals));
  return Math.abs(intervals - whole) < (engine.pickup === 'coil' ? COIL_SHARE : LEAD_SHARE);
}
