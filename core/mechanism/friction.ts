/** The loop that friction makes: a mechanism and a moment of friction in; the curve on the way up and the one on the way
 * down out. */
import { advanceAtSpeed, type Mechanism } from '../mechanism';

/** @param frictionNm moment of friction about the pins, all weights together, 0 or more and less than the preload
 * @throws RangeError otherwise */
function dragged(mechanism: Mechanism, frictionNm: number, sign: 1 | -1): Mechanism {
  const { springs } = mechanism;
  if (!(frictionNm >= 0 && frictionNm < springs.preloadNm))
    throw new RangeError(
      `friction must be 0 or more and less than the preload of ${springs.preloadNm} N m, got ${frictionNm}`,
    );
  return { ...mechanism, springs: { ...springs, preloadNm: springs.preloadNm + sign * frictionNm } };
}

/** The mechanism as it behaves while the speed rises: friction holds the weights back.
 * @throws RangeError if friction is below 0 or not less than the preload
 * @source w² C = S + F while the weights move outwards, S − F while they move back (Coulomb) */
export const onTheWayUp = (mechanism: Mechanism, frictionNm: number): Mechanism =>
  dragged(mechanism, frictionNm, 1);

/** The same while the speed falls: friction keeps the weights out. */
export const onTheWayDown = (mechanism: Mechanism, frictionNm: number): Mechanism =>
  dragged(mechanism, frictionNm, -1);

/** What the advance is after a speed that came and went: inside the loop the weights stay where they are.
 * @param rpms speeds in their order, each come to slowly; the weights rest before the first
 * @returns crank degrees beyond the initial, one for each speed
 * @throws RangeError as `onTheWayUp`, and for a speed below 0 */
export function advanceAlong(mechanism: Mechanism, frictionNm: number, rpms: readonly number[]): number[] {
  const [up, down] = [onTheWayUp(mechanism, frictionNm), onTheWayDown(mechanism, frictionNm)];
  let held = 0;
  return rpms.map((rpm) => {
    held = Math.min(Math.max(held, advanceAtSpeed(up, rpm)), advanceAtSpeed(down, rpm));
    return held;
  });
}

/** Width of the loop at a speed, crank degrees: advance on the way down less that on the way up.
 * @throws RangeError as `onTheWayUp` */
export const loopDeg = (mechanism: Mechanism, frictionNm: number, rpm: number): number =>
  advanceAtSpeed(onTheWayDown(mechanism, frictionNm), rpm) -
  advanceAtSpeed(onTheWayUp(mechanism, frictionNm), rpm);
