/** Whether the crank turned as far from one spark to another as the ignition says: both places in, what they say out. Pulses
 * alone cannot tell every turn from every other one where half of them are lost; the sparks can. */
import { strikesPerTurn, type EngineFacts } from '../engine';
import type { CrankPlace } from './crank-turns';

export type Firing = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;

/** A lead's advance never changes by so large a share of its interval from one spark to the next; the cylinders of a coil
 * lead may fire unevenly, by 30 degrees of 120. */
const LEAD_SHARE = 0.1;
const COIL_SHARE = 0.3;
/** The mean of both speeds is good to this share of the turns between the sparks: a corner of the speed, from idle to 7200
 * rpm more in a second, makes an eighth; one speed that is half the other's, a quarter. */
const SPEED_SHARE = 0.2;
/** A place that is less sure than this, turns, says nothing of the turns to it. */
const MOST_SD_TURNS = 0.02;

/** @param one @param other places of two sparks, in order of time; some may be missing between
 * @param betweenS seconds from one to the other
 * @returns whether there are whole intervals between them, and as many as by their speeds: yes; not whole: no; null where
 * that cannot be told
 * @source Common practice: a plug lead fires once in two turns of a four-stroke, a wasted-spark lead once in each */
export function neighboursAgree(
  engine: Firing,
  one: CrankPlace | null,
  other: CrankPlace | null,
  betweenS: number,
): boolean | null {
  const off = offWhole(engine, one, other);
  if (!one || !other || off === null) return null;
  if (Math.abs(off) > (engine.pickup === 'coil' ? COIL_SHARE : LEAD_SHARE)) return false;
  const turns = other.allTurns - one.allTurns;
  const bySpeed = ((one.rpm + other.rpm) / 120) * betweenS;
  return Math.abs(turns - bySpeed) < SPEED_SHARE * turns ? true : null;
}

/** By how much the other spark stands further on than whole intervals after the one, intervals; null where that cannot be
 * told. */
function offWhole(engine: Firing, one: CrankPlace | null, other: CrankPlace | null): number | null {
  if (!one || !other || one.stretch !== other.stretch) return null;
  if (Math.max(one.sdTurns, other.sdTurns) > MOST_SD_TURNS) return null;
  const intervals = (other.allTurns - one.allTurns) * strikesPerTurn(engine);
  return intervals - Math.max(1, Math.round(intervals));
}

/** The same in crank degrees. */
export function offWholeDeg(engine: Firing, one: CrankPlace | null, other: CrankPlace | null): number | null {
  const off = offWhole(engine, one, other);
  return off === null ? null : (off * 360) / strikesPerTurn(engine);
}
