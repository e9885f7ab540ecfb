/** How well a point of lumped figures explains the readings of one or more runs, and how likely it was before any:
 * readings in, log densities out. */
import type { CurvePoint } from '../fit';
import { advanceOnRamp, type Lumped, squareAt, UNCHANGED } from './lumped';
import { type Layout, lumpedAt, rangeAt, type RunParts, SHARED } from './parameters';
import type { LogDensity } from './sampler';

export interface FittedRun {
  readonly points: readonly CurvePoint[];
  readonly parts: RunParts;
  /** Standard deviation of the tape's zero, one error in every reading, degrees; null or left out where not proved. */
  readonly zeroSdDeg?: number | null;
}

/** A slip is as far off as this, degrees, and as rare. Common practice: a finger beside the key, a mark misread by
 * one long tick. */
const SLIP_SD_DEG = 8;
const SLIP_CHANCE = 0.02;
/** Common practice: a reading off the light is good to about one degree. Worth so many readings. */
const USUAL_SD_DEG = 0.9;
const USUAL_COUNT = 2;
/** No scatter is less: readings are made to a half or a whole degree. */
const LEAST_LOG_SD = Math.log(0.1);
/** Natural logarithm of the scatter at the highest speed over that at the lowest. Common practice: the mark wanders at
 * higher speeds. */
const USUAL_WANDER = 0.2;
const WANDER_REACH = 0.35;
/** By how much the moment of the weights has grown at the reference advance. An arm that swings from 60 to 85 degrees
 * gains 15 %, one from 40 to 65 degrees 41 % (sines, computed); a spring's lever that shrinks acts the same way. */
const USUAL_GROWTH = 0.25;
export const GROWTH_REACH = 0.25;
/** A second spring's rate as a share of the whole usual one; half of the chance lies at none. */
const SECOND_REACH = 2;
/** Slack up to so many times the reference advance: it may take hold only beyond what was read. */
const MOST_SLACK = 1.5;
/** Common practice: the weights come off their stop between a slow idle and a fast one. Logarithm of krpm. */
const USUAL_START = Math.log(1.1);
const START_REACH = 0.45;
/** Common practice: all in by 2000 to 4000 rpm, seldom far from that. Logarithm of krpm. */
const USUAL_ALL_IN = Math.log(3);
const ALL_IN_REACH = 0.3;
/** Common practice: a range of 14 to 26 crank degrees. */
const USUAL_RANGE_DEG = 20;
const RANGE_REACH_DEG = 7;
const RANGE_DEG = { from: 2, to: 50 } as const;
const KRPM = { from: 0.15, to: 15 } as const;

const square = (value: number): number => value * value;

/** What lies far from the usual is rare, not impossible: minus twice the log density of Student's t, 4 degrees of
 * freedom. */
const seldom = (value: number): number => 5 * Math.log1p((value * value) / 4);

/** More advance takes more speed all along. */
const rises = ({ rest, rate, growth }: Lumped): boolean => rate > 0 && rate > growth * rest;

/** Log density of a point before any reading; -Infinity where no mechanism can be so. */
export function priorOf(layout: Layout, runs: readonly RunParts[]): LogDensity {
  const { referenceDeg } = layout.scale;
  const [firsts, seconds, stops] = [layout.firstSprings, layout.secondSprings, layout.stops].map((places) => [
    ...places.values(),
  ]) as [number[], number[], number[]];
  const possible = (p: Float64Array): boolean =>
    p[SHARED.logScatter]! > LEAST_LOG_SD &&
    firsts.every((at) => p[at]! > KRPM.from && p[at + 1]! < KRPM.to) &&
    seconds.every((at) => p[at + 1]! > 0 && p[at + 1]! < MOST_SLACK * referenceDeg) &&
    stops.every(
      (at) =>
        p[at]! > RANGE_DEG.from &&
        p[at]! < RANGE_DEG.to &&
        1 + (p[SHARED.growth]! * p[at]!) / referenceDeg > 0.1,
    );
  return (p) => {
    if (!possible(p)) return -Infinity;
    const logSd = p[SHARED.logScatter]!;
    let off = square(p[SHARED.power]!);
    off += square((p[SHARED.growth]! - USUAL_GROWTH) / GROWTH_REACH);
    off += square((p[SHARED.scatterGrowth]! - USUAL_WANDER) / WANDER_REACH);
    for (const at of firsts) off += seldom((Math.log(p[at]!) - USUAL_START) / START_REACH);
    for (const at of stops) off += square((p[at]! - USUAL_RANGE_DEG) / RANGE_REACH_DEG);
    for (const parts of runs) {
      const lumped = lumpedAt(layout, p, parts);
      if (!rises(lumped)) return -Infinity;
      const allIn = squareAt(lumped, rangeAt(layout, p, parts.stop), UNCHANGED);
      off += seldom((Math.log(allIn) / 2 - USUAL_ALL_IN) / ALL_IN_REACH);
    }
    for (const at of seconds) off += square(p[at]! / SECOND_REACH);
    off += USUAL_COUNT * (2 * logSd + square(USUAL_SD_DEG) * Math.exp(-2 * logSd));
    return -off / 2;
  };
}

/** Columns of one run that never change. */
interface Columns {
  readonly parts: RunParts;
  readonly initialAt: number;
  readonly rpm: Float64Array;
  readonly advanceDeg: Float64Array;
  readonly rpmSd: Float64Array;
  /** 0 in the middle of all speeds read, -½ at the lowest. */
  readonly place: Float64Array;
}

function columnsOf(layout: Layout, runs: readonly FittedRun[]): Columns[] {
  const speeds = runs.flatMap((run) => run.points.map((point) => point.rpm));
  const [low, high] = [Math.min(...speeds), Math.max(...speeds)];
  return runs.map(({ points, parts }, i) => ({
    parts,
    initialAt: layout.initials[i]!,
    rpm: Float64Array.from(points, (point) => point.rpm),
    advanceDeg: Float64Array.from(points, (point) => point.advanceDeg),
    rpmSd: Float64Array.from(points, (point) => point.rpmSd ?? 0),
    place: Float64Array.from(points, (point) => (point.rpm - low) / (high - low || 1) - 0.5),
  }));
}

/** A reading's residual and standard deviation at a point. */
type PerReading = (residualDeg: number, sdDeg: number, run: number, reading: number) => void;

function eachReading(layout: Layout, columns: readonly Columns[], p: Float64Array, take: PerReading): void {
  const [logSd, wander] = [p[SHARED.logScatter]!, p[SHARED.scatterGrowth]!];
  for (let run = 0; run < columns.length; run++) {
    const { parts, initialAt, rpm, advanceDeg, rpmSd, place } = columns[run]!;
    const lumped = lumpedAt(layout, p, parts);
    const range = rangeAt(layout, p, parts.stop);
    for (let i = 0; i < rpm.length; i++) {
      const u = advanceOnRamp(lumped, rpm[i]!, range);
      const own = Math.exp(logSd + wander * place[i]!);
      const spread = rpmSd[i]! > 0 ? advanceOnRamp(lumped, rpm[i]! + rpmSd[i]!, range) - u : 0;
      take(advanceDeg[i]! - p[initialAt]! - u, spread > 0 ? Math.hypot(own, spread) : own, run, i);
    }
  }
}

const normalDensity = (residual: number, sd: number): number => Math.exp(-0.5 * square(residual / sd)) / sd;

/** So many densities are multiplied before their logarithm is taken: few enough not to vanish. */
const LOG_EVERY = 4;

/** Log density of the readings at a point, up to a constant. Readings scatter normally, save for slips.
 * @source Mixture of good and bad readings: D. S. Sivia, Data Analysis (1996), ch. 8 (from memory) */
export function likelihoodOf(layout: Layout, runs: readonly FittedRun[]): LogDensity {
  const columns = columnsOf(layout, runs);
  let [sum, product, waiting] = [0, 1, 0];
  const take: PerReading = (residual, sd) => {
    const good = (1 - SLIP_CHANCE) * normalDensity(residual, sd);
    product *= good + SLIP_CHANCE * normalDensity(residual, SLIP_SD_DEG);
    if (++waiting < LOG_EVERY) return;
    sum += Math.log(product);
    [product, waiting] = [1, 0];
  };
  return (p) => {
    [sum, product, waiting] = [0, 1, 0];
    eachReading(layout, columns, p, take);
    return sum + Math.log(product);
  };
}

/** Chance that each reading is a slip at a point; run by run. */
export function slipChances(layout: Layout, runs: readonly FittedRun[], p: Float64Array): Float64Array[] {
  const chances = runs.map((run) => new Float64Array(run.points.length));
  eachReading(layout, columnsOf(layout, runs), p, (residual, sd, run, i) => {
    const bad = SLIP_CHANCE * normalDensity(residual, SLIP_SD_DEG);
    chances[run]![i] = bad / (bad + (1 - SLIP_CHANCE) * normalDensity(residual, sd));
  });
  return chances;
}
