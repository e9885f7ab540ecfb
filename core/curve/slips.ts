/** Slips of the finger or the eye: readings in rising order of speed in, those that no curve through the others
 * explains out. */
import { advanceAt } from './allowed-curves';
import { bestCurve, type WeightedReadings } from './confidence-set';
import { CURVED, onScale, type RampShape, speedScale, STRAIGHT } from './ramp-shapes';
import { RampSweep, type SweepCell, type SweepPoints } from './ramp-sweep';
import { scatterGrowthAmongSlips } from './scatter';
import { tQuantile } from './student-t';

/** What a reading is good to before any is made, degrees, and how many readings that knowledge is worth.
 * Common practice: a reading off the light is good to about one degree. */
const USUAL_SD_DEG = 1;
const USUAL_FREEDOM = 6;
/** Natural logarithm of the scatter at the highest reading over that at the lowest that is still nobody's slip.
 * Common practice: the mark wanders at higher speeds. */
const WANDER = 0.4;
/** Chance of calling a good set's most distant reading a slip, were the corners known. */
const FALSE_ALARM = 0.01;
/** No slip is looked for in fewer readings: each of a curve's four figures then rests on one reading. */
const FEWEST = 7;
const GRID = Float64Array.from({ length: 36 }, (_, i) => i / 35);

interface Deletions {
  /** Least squared sum of all readings. */
  whole: number;
  /** The same without each reading. */
  readonly without: Float64Array;
}

/** Adds one curve's view: what its squared sum is with every reading and without each.
 * @source Deleting one reading from a linear fit: S - w·r²/(1 - h). Belsley, Kuh and Welsch, Regression Diagnostics
 * (1980), chapter 2 (from memory) */
function noteCell(cell: SweepCell, { x, y, w }: SweepPoints, found: Deletions): void {
  const [start, end] = [cell.corners[0]!, cell.corners[1]!];
  const [low, high] = [cell.levels[0]!, cell.levels[1]!];
  const [lowVar, both, , highVar] = cell.covariance as unknown as [number, number, number, number];
  const { without } = found;
  found.whole = Math.min(found.whole, cell.sse);
  for (let i = 0; i < x.length; i++) {
    const at = (x[i]! - start) / (end - start);
    const share = at < 0 ? 0 : at > 1 ? 1 : at;
    const rest = 1 - share;
    const variance = rest * rest * lowVar + 2 * rest * share * both + share * share * highVar;
    const leverage = w[i]! * variance;
    if (leverage > 0.999) continue; // this reading alone holds a level up: without it there is no such curve
    const residual = y[i]! - rest * low - share * high;
    const sse = cell.sse - (w[i]! * residual * residual) / (1 - leverage);
    if (sse < without[i]!) without[i] = sse > 0 ? sse : 0;
  }
}

function deletions({ rpm, advanceDeg, weight }: WeightedReadings, shapes: readonly RampShape[]): Deletions {
  const n = rpm.length;
  const found = { whole: Infinity, without: new Float64Array(n).fill(Infinity) };
  const meanDeg = advanceDeg.reduce((sum, a) => sum + a, 0) / n;
  const y = advanceDeg.map((a) => a - meanDeg);
  for (const shape of shapes) {
    const scale = speedScale(shape, rpm[0]!, rpm[n - 1]!);
    const x = rpm.map((speed) => onScale(scale, speed));
    const points = { x, y, w: weight };
    const sweep = new RampSweep(points, shape.corners);
    const grid = sweep.grid(GRID);
    sweep.forEach([grid, grid], (cell) => {
      sweep.spread();
      noteCell(cell, points, found);
    });
  }
  return found;
}

/** How far the most distant reading lies off, in standard deviations of what the others leave, and the limit. */
function mostDistant(readings: WeightedReadings): { index: number; distance: number; limit: number } | null {
  const n = readings.rpm.length;
  if (n < FEWEST) return null;
  const { whole, without } = deletions(readings, [STRAIGHT, CURVED]);
  const index = without.reduce((best, sse, i) => (sse < without[best]! ? i : best), 0);
  const freedom = USUAL_FREEDOM + n - 5;
  const variance = (USUAL_FREEDOM * USUAL_SD_DEG ** 2 + without[index]!) / freedom;
  const distance = Math.sqrt((whole - without[index]!) / variance);
  return { index, distance, limit: tQuantile(FALSE_ALARM / n, freedom) };
}

const placesOf = (rpm: Float64Array): Float64Array =>
  rpm.map((speed) => (speed - rpm[0]!) / (rpm[rpm.length - 1]! - rpm[0]!));

const without = (readings: WeightedReadings, gone: (row: number) => boolean): WeightedReadings => {
  const keep = (column: Float64Array): Float64Array => column.filter((_, i) => !gone(i));
  return { rpm: keep(readings.rpm), advanceDeg: keep(readings.advanceDeg), weight: keep(readings.weight) };
};

/** Rows that stand out, should the scatter grow with speed by this much.
 * @source Rosner's generalised many-outlier procedure, Technometrics 25 (1983) 165 (from memory): take the most
 * distant away in turn, and call slips all up to the last that stood beyond its limit, so that two seldom hide each
 * other: two of one sign side by side on the ramp still can. */
function standingOut(readings: WeightedReadings, growth: number): number[] {
  const weight = placesOf(readings.rpm).map((place) => Math.exp(-2 * growth * (place - 0.5)));
  let left: WeightedReadings = { ...readings, weight };
  let rows = Array.from(readings.rpm.keys());
  const taken: number[] = [];
  let slips = 0;
  const most = Math.max(1, Math.floor(readings.rpm.length / 5));
  while (taken.length < most) {
    const distant = mostDistant(left);
    if (distant === null) break;
    taken.push(rows[distant.index]!);
    if (distant.distance > distant.limit) slips = taken.length;
    else if (taken.length > slips + 1) break; // two good ones in a row: nothing hides behind
    rows = rows.filter((_, i) => i !== distant.index);
    left = without(left, (row) => row === distant.index);
  }
  return taken.slice(0, slips);
}

/** How much the scatter about the curve through the others grows, the suspects' own counted as they may be slips. */
function growthAmong(readings: WeightedReadings, suspects: readonly number[]): number | null {
  const curve = bestCurve(
    without(readings, (row) => suspects.includes(row)),
    STRAIGHT,
  );
  if (curve === null) return null;
  const residuals = readings.advanceDeg.map((a, i) => a - advanceAt(curve, readings.rpm[i]!));
  return scatterGrowthAmongSlips(placesOf(readings.rpm), residuals);
}

/** @returns positions of the slips in the columns given, ascending; at most one reading in five */
export function findSlips(readings: WeightedReadings): number[] {
  const suspects = standingOut(readings, WANDER);
  if (suspects.length === 0) return [];
  // where the mark wanders wildly at the top, a reading far out there is no slip
  const growth = growthAmong(readings, suspects) ?? WANDER;
  const slips = growth > WANDER ? standingOut(readings, growth) : suspects;
  return [...slips].sort((a, b) => a - b);
}
