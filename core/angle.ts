/** Angles, arcs and times: degrees, millimetres, seconds and speeds in and out. Nothing here knows readings. */
import type { RotorSense, Strokes } from './engine';

/** Crank degrees that pass in a time at a speed.
 * @source One turn is 360 degrees and 60/rpm seconds: 6 · rpm · seconds */
export const degInTime = (rpm: number, timeS: number): number => 6 * rpm * timeS;

/** How far the housing turns for crank degrees: half as many, for a four-stroke's distributor turns at half crank
 * speed; as many where it turns with the crank.
 * @source Common practice */
export const housingDeg = (crankDeg: number, strokes: Strokes): number =>
  strokes === 4 ? crankDeg / 2 : crankDeg;

/** The length of an arc on a round of this diameter, millimetres.
 * @throws RangeError unless the diameter is over 0
 * @source π · D · degrees / 360 */
export function arcMm(diameterMm: number, deg: number): number {
  if (!(diameterMm > 0)) throw new RangeError(`wanted a diameter over 0 mm, got ${diameterMm}`);
  return (Math.PI * diameterMm * deg) / 360;
}

/** The way to turn the housing, seen from above the cap: against the rotor advances, with it retards.
 * @source Common practice */
export function housingTurn(rotor: RotorSense, change: 'advance' | 'retard'): RotorSense {
  const against = rotor === 'clockwise' ? 'anticlockwise' : 'clockwise';
  return change === 'advance' ? against : rotor;
}

/** What a tape reads at true top dead centre: half the sum of the two signed readings at a positive stop.
 * @param beforeDeg, afterDeg readings at the stop from either side, positive before TDC
 * @source Common practice: true TDC is midway between them */
export const tapeZeroErrorDeg = (beforeDeg: number, afterDeg: number): number => (beforeDeg + afterDeg) / 2;
