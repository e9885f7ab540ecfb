/** The advance curve: readings in; its figures with 95 % intervals, its corners, what was set aside and what the
 * readings do not show out. Level, a ramp of one or two slopes, level again; any part may lie outside the readings. */
import {
  advanceAt,
  type AllowedCurve,
  type ConfidenceSet,
  type Interval,
  levelInterval,
} from './curve/allowed-curves';
import { bestCurve, confidenceSet, type WeightedReadings } from './curve/confidence-set';
import { fitNotes } from './curve/fit-notes';
import { type CurveLooks, type Figure, figure, type KnownCurve, lookUp } from './curve/known-curve';
import { knownScatter, notedStep, roundingVariance } from './curve/noted';
import { offScale, onScale, type RampShape, shapeAt, SHAPES, STRAIGHT } from './curve/ramp-shapes';
import { readingWeights, scatterGrowth } from './curve/scatter';
import { allInView, type CornerView, riseInterval, startView, stepsUp } from './curve/seen';
import { findSlips } from './curve/slips';
import { fTail, tQuantile } from './curve/student-t';

export type { Figure };

/** A reading for the fit, nothing left to correct. */
export interface CurvePoint {
  readonly rpm: number;
  /** Crank degrees, positive before TDC. */
  readonly advanceDeg: number;
  /** Standard deviation of the speed, rpm; null or left out where not known. */
  readonly rpmSd?: number | null;
  /** The step to which the degrees were rounded when noted; left out in all points, it is found from the advances. */
  readonly roundDeg?: number;
}

export interface CurveCorner {
  readonly rpm: number;
  readonly advanceDeg: number;
}

/** null: the readings don't show it. */
export interface CurveFit extends CurveLooks {
  /** Readings given, those set aside counted. */
  readonly n: number;
  readonly initialDeg: Figure | null;
  readonly startRpm: Figure | null;
  readonly allInRpm: Figure | null;
  readonly totalDeg: Figure | null;
  /** Total less initial. */
  readonly rangeDeg: Figure | null;
  /** Every corner that the readings show, rising. */
  readonly corners: readonly CurveCorner[];
  readonly shape: RampShape['name'] | null;
  /** Mean rise over the part of the ramp that was read, degrees for each 1000 rpm. */
  readonly slopeDegPer1000Rpm: number | null;
  /** Scatter of the readings about the curve, those set aside not counted. */
  readonly residualSdDeg: number | null;
  /** Positions, from 0, in the points given. */
  readonly setAside: readonly number[];
  /** Plain sentences. */
  readonly notes: readonly string[];
}

/** Fewer readings than this leave a curve's four figures and its scatter open. */
export const FEWEST_READINGS = 5;
/** Chance of taking level readings for a rise, were the corners known. */
const RISE_CHANCE = 0.005;
/** Level readings from here down are those of an engine whose weights rest. Common practice: idle, at the most a fast
 * one; a distributor has begun by then or begins soon after. */
const IDLE_AT_MOST_RPM = 1500;

/** Readings in rising order of speed, with the place each had among the points given. */
interface Ordered extends WeightedReadings {
  readonly rpmSd: Float64Array;
  /** The coarsest step to which any was rounded; null where some were not. */
  readonly stepDeg: number | null;
  readonly place: readonly number[];
}

function assertPoints(points: readonly CurvePoint[]): void {
  points.forEach(({ rpm, advanceDeg, rpmSd }, i) => {
    if (!(rpm > 0 && Number.isFinite(rpm) && Number.isFinite(advanceDeg) && (rpmSd ?? 0) >= 0))
      throw new RangeError(
        `reading ${i + 1}: wanted a speed over 0 rpm, finite degrees and a spread of 0 rpm or more, ` +
          `got ${rpm} rpm, ${advanceDeg} deg, ${rpmSd ?? 'no'} rpm`,
      );
  });
}

function ordered(points: readonly CurvePoint[], keep: (place: number) => boolean): Ordered {
  const place = Array.from(points.keys())
    .filter(keep)
    .sort((a, b) => points[a]!.rpm - points[b]!.rpm || a - b);
  const column = (of: (point: CurvePoint) => number): Float64Array =>
    Float64Array.from(place, (i) => of(points[i]!));
  return {
    rpm: column((point) => point.rpm),
    advanceDeg: column((point) => point.advanceDeg),
    rpmSd: column((point) => point.rpmSd ?? 0),
    weight: new Float64Array(place.length).fill(1),
    place,
    stepDeg: stepOf(points),
  };
}

function stepOf(points: readonly CurvePoint[]): number | null {
  if (points.every(({ roundDeg }) => roundDeg === undefined))
    return notedStep(points.map(({ advanceDeg }) => advanceDeg));
  const steps = points.map(({ roundDeg }) => roundDeg ?? 0);
  return Math.min(...steps) > 0 ? Math.max(...steps) : null;
}

/** A fit as plain data, which goes from thread to thread: all that is said of it, and its curve. */
export interface FitData {
  readonly said: Omit<CurveFit, keyof CurveLooks>;
  readonly curve: KnownCurve | null;
}

/** The fit that its data tell of. */
export const fitOf = ({ said, curve }: FitData): CurveFit => ({ ...said, ...lookUp(curve) });

/** Fits the curve. The same points give the same answer to the last bit; 40 of them take some 20 ms on a laptop, so
 * it may run after each reading.
 * @param points any order and number
 * @throws RangeError if a speed is not over 0, a number is not finite, or a spread is below 0 */
export const fitCurve = (points: readonly CurvePoint[]): CurveFit => fitOf(fitData(points));

/** The same as plain data.
 * @throws RangeError as `fitCurve` */
export function fitData(points: readonly CurvePoint[]): FitData {
  assertPoints(points);
  const all = ordered(points, () => true);
  const setAside = stepsUp(all.rpm).length < 3 ? [] : findSlips(all).map((row) => all.place[row]!);
  const used = ordered(points, (place) => !setAside.includes(place));
  const enough = used.rpm.length >= FEWEST_READINGS && stepsUp(used.rpm).length >= 3;
  const first = enough ? bestCurve(used, STRAIGHT) : null;
  if (first === null || !rises(used, first)) return levelFit(points, used, setAside, first !== null);
  const weight = weightsFor(used, first);
  const set = confidenceSet({ ...used, weight }, SHAPES, knownScatter(used.stepDeg))!;
  return rampFit(points, used, setAside, set);
}

/** Whether a curve does better than one level for all.
 * @source F test of nested fits with three more figures, its tail made small for the search of corners */
function rises({ advanceDeg }: Ordered, { sse }: AllowedCurve): boolean {
  const mean = advanceDeg.reduce((sum, a) => sum + a, 0) / advanceDeg.length;
  const level = advanceDeg.reduce((sum, a) => sum + (a - mean) ** 2, 0);
  if (level < 1e-9 * advanceDeg.length) return false;
  const freedom = advanceDeg.length - 4;
  return fTail((level - sse) / 3 / (sse / freedom || Number.MIN_VALUE), 3, freedom) < RISE_CHANCE;
}

function weightsFor(used: Ordered, curve: AllowedCurve): Float64Array {
  const { rpm, rpmSd } = used;
  const scatter = residuals(used, curve);
  const freedom = Math.max(1, rpm.length - 2 * curve.corners.length);
  const known = knownScatter(used.stepDeg);
  const squares = scatter.reduce((sum, r) => sum + r * r, known.squares);
  const sdDeg = Math.sqrt(squares / (freedom + known.count));
  const order = curve.corners.length;
  const shape = new Float64Array(order);
  const fair = scatter.map((residual, i) => {
    shapeAt(curve.corners, onScale(curve.scale, rpm[i]!), shape);
    let leverage = 0;
    for (let j = 0; j < order; j++)
      for (let k = 0; k < order; k++) leverage += shape[j]! * shape[k]! * curve.covariance[j * order + k]!;
    return residual / Math.sqrt(Math.max(0.2, 1 - leverage));
  });
  const place = rpm.map((speed) => (speed - rpm[0]!) / (rpm.at(-1)! - rpm[0]!));
  const slopes = rpm.map((speed) => advanceAt(curve, speed + 1) - advanceAt(curve, speed));
  const growth = scatterGrowth(place, fair, roundingVariance(used.stepDeg));
  return readingWeights(place, growth, slopes, rpmSd, sdDeg);
}

const residuals = ({ rpm, advanceDeg }: Ordered, curve: AllowedCurve): Float64Array =>
  advanceDeg.map((a, i) => a - advanceAt(curve, rpm[i]!));

/** Readings too few for a curve, or all at one level. */
function levelFit(
  points: readonly CurvePoint[],
  used: Ordered,
  setAside: readonly number[],
  enough: boolean,
): FitData {
  const n = used.rpm.length;
  const mean = used.advanceDeg.reduce((sum, a) => sum + a, 0) / Math.max(n, 1);
  const sd = Math.sqrt(used.advanceDeg.reduce((sum, a) => sum + (a - mean) ** 2, 0) / Math.max(n - 1, 1));
  const half = n > 1 ? (tQuantile(0.05, n - 1) * sd) / Math.sqrt(n) : Infinity;
  const level = enough ? { value: mean, low: mean - half, high: mean + half } : null;
  const [low, high] = [used.rpm[0] ?? NaN, used.rpm[n - 1] ?? NaN];
  const atIdle = level !== null && low <= IDLE_AT_MOST_RPM;
  const none = { startRpm: null, allInRpm: null, totalDeg: null, rangeDeg: null, corners: [], shape: null };
  const said = {
    n: points.length,
    ...none,
    initialDeg: atIdle ? level : null,
    slopeDegPer1000Rpm: null,
    residualSdDeg: enough ? sd : null,
    setAside,
    notes: fitNotes({ points, setAside, rpm: used.rpm, level, atIdle, curve: null }),
  };
  return { said, curve: level && { kind: 'level', fromRpm: low, toRpm: high, meanDeg: mean, halfDeg: half } };
}

function rampFit(
  points: readonly CurvePoint[],
  used: Ordered,
  setAside: readonly number[],
  set: ConfidenceSet,
): FitData {
  const { best } = set;
  const start = startView(set, used.rpm);
  const allIn = allInView(set, used.rpm);
  const rises = riseInterval(set);
  const falling = rises.high < 0;
  const at = (which: 0 | -1): Figure => figure(best.levelsDeg.at(which)!, endLevel(set, which));
  const whole = best.levelsDeg.at(-1)! - best.levelsDeg[0]!;
  const show = <T>(seen: boolean, value: () => T): T | null => (seen && !falling ? value() : null);
  const said: FitData['said'] = {
    n: points.length,
    initialDeg: show(start.level, () => at(0)),
    startRpm: show(start.place, () => figure(start.value, start.interval)),
    allInRpm: show(allIn.place, () => figure(allIn.value, allIn.interval)),
    totalDeg: show(allIn.level, () => at(-1)),
    rangeDeg: show(start.level && allIn.level, () => figure(whole, rises)),
    corners: falling ? [] : cornersOf(best, start, allIn),
    shape: best.shape.name,
    slopeDegPer1000Rpm: (1000 * whole) / (allIn.value - start.value),
    residualSdDeg: scatterOf(used, best, set.freedom),
    setAside,
    notes: fitNotes({
      points,
      setAside,
      rpm: used.rpm,
      level: null,
      atIdle: false,
      curve: { set, start, allIn, falling },
    }),
  };
  const fromRpm = start.level ? -Infinity : used.rpm[0]!;
  const toRpm = allIn.level ? Infinity : used.rpm.at(-1)!;
  return { said, curve: { kind: 'ramp', fromRpm, toRpm, set, bands: new Map() } };
}

const endLevel = (set: ConfidenceSet, which: 0 | -1): Interval =>
  levelInterval(set, () => (_, weights) => (weights[which === 0 ? 0 : weights.length - 1] = 1));

const scatterOf = (used: Ordered, best: AllowedCurve, freedom: number): number =>
  Math.sqrt(residuals(used, best).reduce((sum, r) => sum + r * r, 0) / freedom);

function cornersOf(best: AllowedCurve, start: CornerView, allIn: CornerView): CurveCorner[] {
  const last = best.corners.length - 1;
  return Array.from(best.corners.keys())
    .filter((k) => (k === 0 ? start.place : k === last ? allIn.place : true))
    .map((k) => ({ rpm: offScale(best.scale, best.corners[k]!), advanceDeg: best.levelsDeg[k]! }));
}
