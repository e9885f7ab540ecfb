/** Advance of a spark against a crank sensor: how far the crank has turned since the sensor's pulse in, degrees before
 * top dead centre out. */
import type { EngineFacts } from '../engine';

export interface SensorPlace {
  /** Crank degrees before TDC of No. 1 at which the leading edge of its pulse passes half its height. */
  readonly angleDeg: number;
  /** By how much the sensor's channel comes late against the clamp's, microseconds. */
  readonly delayUs: number;
}

type Firing = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;

/** Advances lie about this one: a spark is taken for that of the cylinder whose TDC is nearest so. */
const MIDDLE_DEG = 20;

/** Crank degrees between the places in a turn at which a cylinder whose spark the clamp hears stands at TDC.
 * @source Common practice: a four-stroke with N cylinders fires every 720/N degrees, a two-stroke every 360/N. One
 * pulse a turn cannot tell one turn from the next: with an odd number of cylinders the second turn's TDCs of a
 * four-stroke fall between those of the first, so that they stand 360/N apart. */
export function sparkSpacingDeg({ strokes, cylinders, pickup }: Firing): number {
  if (pickup !== 'coil') return 360;
  return strokes === 4 && cylinders % 2 === 0 ? 720 / cylinders : 360 / cylinders;
}

/** @param turns of the crank from the sensor's pulse to the spark, 0 or more @param rpm at the spark
 * @returns crank degrees before TDC, within half a spacing of 20
 * @source deg = 6 rpm s: a sensor heard late by t stands 6 rpm t degrees further on when its pulse comes */
export function sparkAdvanceDeg(
  turns: number,
  rpm: number,
  { angleDeg, delayUs }: SensorPlace,
  spacingDeg: number,
): number {
  const advance = angleDeg - 360 * turns - 6 * rpm * delayUs * 1e-6;
  const off = advance - MIDDLE_DEG;
  return MIDDLE_DEG + off - spacingDeg * Math.round(off / spacingDeg);
}
