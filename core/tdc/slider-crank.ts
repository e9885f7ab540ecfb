/** The slider-crank: crank angle to the piston's drop from its top and back. Stroke and rod in millimetres, angles in
 * crank degrees from top dead centre; knows no tape and no pin offset. */

export interface SliderCrank {
  readonly strokeMm: number;
  /** Between the centres of its eyes. */
  readonly rodMm: number;
}

const RADIANS = Math.PI / 180;

/** @throws RangeError unless the stroke is over 0 and the rod is longer than half of it */
function assertCrank({ strokeMm, rodMm }: SliderCrank): void {
  if (!(strokeMm > 0)) throw new RangeError(`wanted a stroke over 0 mm, got ${strokeMm}`);
  if (!(rodMm > strokeMm / 2))
    throw new RangeError(`wanted a rod longer than half the stroke of ${strokeMm} mm, got ${rodMm}`);
}

/** How far the piston stands below its top, millimetres; the same before and after it.
 * @throws RangeError if the crank cannot be
 * @source a(1 − cos θ) + l(1 − √(1 − (a/l)² sin² θ)), a half the stroke: J. B. Heywood, Internal Combustion Engine
 * Fundamentals (1988), section 2.2 (from memory) */
export function pistonDropMm(crankDeg: number, crank: SliderCrank): number {
  assertCrank(crank);
  const [a, l, angle] = [crank.strokeMm / 2, crank.rodMm, crankDeg * RADIANS];
  return a * (1 - Math.cos(angle)) + l * (1 - Math.sqrt(1 - ((a / l) * Math.sin(angle)) ** 2));
}

/** How far the crank stands from top dead centre at a drop, crank degrees, 0 to 180.
 * @throws RangeError if the crank cannot be, or the drop is not from 0 to the stroke
 * @source The law of cosines in the triangle of throw, rod and the way from shaft to piston pin */
export function crankDegAtDrop(dropMm: number, crank: SliderCrank): number {
  assertCrank(crank);
  if (!(dropMm >= 0 && dropMm <= crank.strokeMm))
    throw new RangeError(`wanted a drop from 0 to the stroke of ${crank.strokeMm} mm, got ${dropMm}`);
  const [a, l] = [crank.strokeMm / 2, crank.rodMm];
  const pin = a + l - dropMm;
  const cosine = (a * a + pin * pin - l * l) / (2 * a * pin);
  return Math.acos(Math.min(1, Math.max(-1, cosine))) / RADIANS;
}

/** How many crank degrees one millimetre of drop is worth there: the further from the top, the fewer.
 * @throws RangeError as `crankDegAtDrop`; also at the very top and bottom, where the piston stands still */
export function crankDegPerMm(dropMm: number, crank: SliderCrank): number {
  const angle = crankDegAtDrop(dropMm, crank) * RADIANS;
  const [a, l] = [crank.strokeMm / 2, crank.rodMm];
  const share = (a / l) * Math.sin(angle);
  const mmPerRadian = a * Math.sin(angle) + (a * share * Math.cos(angle)) / Math.sqrt(1 - share * share);
  if (!(mmPerRadian > 1e-9))
    throw new RangeError(`wanted a drop at which the piston moves, got ${dropMm} mm`);
  return 1 / RADIANS / mmPerRadian;
}
