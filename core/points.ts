/** Contact-breaker points: dwell as degrees, share and time; what a change of dwell or of gap does to the timing. Dwell is
 * in distributor degrees throughout, timing in crank degrees. */
import { tQuantile } from './curve/student-t';
import type { Strokes } from './engine';
import type { Figure } from './fit';
import type { DwellReading } from './job';

/** Distributor degrees from one opening of the points to the next: one for each cylinder in a turn.
 * @throws RangeError if cylinders is not a whole number from 1 to 24 */
export function firingIntervalDeg(cylinders: number): number {
  if (!Number.isInteger(cylinders) || cylinders < 1 || cylinders > 24)
    throw new RangeError(`cylinders must be a whole number from 1 to 24, got ${cylinders}`);
  return 360 / cylinders;
}

/** Dwell as a share of the interval, per cent.
 * @source Common practice: dwell is the share of a firing interval that the points are closed */
export const dwellPercent = (dwellDeg: number, cylinders: number): number =>
  (100 * dwellDeg) / firingIntervalDeg(cylinders);

/** The inverse of `dwellPercent`. */
export const dwellFromPercent = (percent: number, cylinders: number): number =>
  (percent / 100) * firingIntervalDeg(cylinders);

/** How long the coil is fed at a speed, milliseconds.
 * @throws RangeError unless the speed is over 0
 * @source Degrees pass in degrees / (6 · rpm) seconds; a four-stroke's distributor turns at half crank speed */
export function dwellMs(dwellDeg: number, rpm: number, strokes: Strokes): number {
  if (!(rpm > 0)) throw new RangeError(`wanted a speed over 0 rpm, got ${rpm}`);
  return (1000 * dwellDeg) / (6 * (strokes === 4 ? rpm / 2 : rpm));
}

/** What a change of dwell does to the timing, crank degrees: below 0 retards. More dwell is a smaller gap: the points
 * close earlier and open later, half of the change at either end where the cam's lobe is the same on both flanks; the
 * spark comes with the opening.
 * @source Geometry of a symmetric lobe. For a four-stroke it gives the trade's rule of one degree of timing for one of
 * dwell (common practice). */
export const timingShiftDeg = (dwellChangeDeg: number, strokes: Strokes): number =>
  (-dwellChangeDeg / 2) * (strokes === 4 ? 2 : 1) + 0;

/** Gaps nearer than this are one gap: feeler gauges come in such steps. */
const ONE_GAP_MM = 0.02;

/** How much the dwell changes with the gap, distributor degrees for each millimetre, from this engine's own readings.
 * @returns null where fewer than two gaps were tried; an endless interval where two readings leave no scatter
 * @source Least squares line; Student's t for its slope */
export function dwellPerGap(readings: readonly Pick<DwellReading, 'dwellDeg' | 'gapMm'>[]): Figure | null {
  const known = readings.flatMap(({ dwellDeg, gapMm }) => (gapMm === null ? [] : [{ dwellDeg, gapMm }]));
  const gaps = known.map(({ gapMm }) => gapMm);
  if (known.length < 2 || Math.max(...gaps) - Math.min(...gaps) < ONE_GAP_MM) return null;
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;
  const [gap, dwell] = [mean(gaps), mean(known.map(({ dwellDeg }) => dwellDeg))];
  const spread = known.reduce((sum, one) => sum + (one.gapMm - gap) ** 2, 0);
  const value = known.reduce((sum, one) => sum + (one.gapMm - gap) * (one.dwellDeg - dwell), 0) / spread;
  const freedom = known.length - 2;
  if (freedom === 0) return { value, low: -Infinity, high: Infinity };
  const squares = known.reduce((sum, o) => sum + (o.dwellDeg - dwell - value * (o.gapMm - gap)) ** 2, 0);
  const half = tQuantile(0.05, freedom) * Math.sqrt(squares / freedom / spread);
  return { value, low: value - half, high: value + half };
}

export interface DwellChange {
  /** Wanted less now, distributor degrees. */
  readonly changeDeg: number;
  readonly shiftDeg: number;
  /** How the gap is to change, millimetres; null where this engine's readings do not tell. */
  readonly gapMm: number | null;
  readonly sentences: readonly string[];
}

/** What bringing the dwell to another value asks for and does.
 * @param perGap as from `dwellPerGap`; used only when it falls with the gap, as it must */
export function dwellChange(
  nowDeg: number,
  wantedDeg: number,
  strokes: Strokes,
  perGap: Figure | null,
): DwellChange {
  const changeDeg = wantedDeg - nowDeg;
  const shiftDeg = timingShiftDeg(changeDeg, strokes);
  const gapMm = perGap !== null && perGap.value < 0 ? changeDeg / perGap.value : null;
  return { changeDeg, shiftDeg, gapMm, sentences: changeSentences(changeDeg, shiftDeg, gapMm) };
}

/** What a dwell meter is read to. */
const LEAST_CHANGE_DEG = 0.5;

function changeSentences(changeDeg: number, shiftDeg: number, gapMm: number | null): string[] {
  if (Math.abs(changeDeg) < LEAST_CHANGE_DEG) return ['Leave the points: the dwell is where it is wanted.'];
  const way = changeDeg > 0 ? 'Close' : 'Open';
  const by = gapMm === null ? '' : ` by about ${Math.abs(gapMm).toFixed(2)} mm`;
  return [
    `${way} the gap${by}: ${changeDeg > 0 ? 'a smaller' : 'a larger'} gap gives ${changeDeg > 0 ? 'more' : 'less'} dwell, ${Math.abs(changeDeg).toFixed(1)}° ${changeDeg > 0 ? 'more' : 'less'} is wanted.`,
    `That ${shiftDeg < 0 ? 'retards' : 'advances'} the spark by about ${Math.abs(shiftDeg).toFixed(1)}° at the crank: dwell first, then set the timing again.`,
  ];
}
