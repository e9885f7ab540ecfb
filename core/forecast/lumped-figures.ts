/** The mechanism's lumped figures with 95 % intervals: what the readings leave open in, figures of one run's set-up out. */
import type { Figure } from '../fit';
import { GROWTH_REACH } from './likelihood';
import { type Lumped, speedWith, UNCHANGED } from './lumped';
import { lumpedAt, powerAt, rangeAt, SHARED } from './parameters';
import type { Posterior } from './posterior';
import { figureOf, shareOf } from './quantiles';

/** null where the readings do not show it. */
export interface LumpedFigures {
  readonly initialDeg: Figure | null;
  readonly startRpm: Figure | null;
  readonly allInRpm: Figure | null;
  /** What the stop leaves, crank degrees. */
  readonly rangeDeg: Figure | null;
  /** Square of the speed, in millions of rpm², that each crank degree takes against the first spring. */
  readonly firstRate: Figure;
  /** The same of the second spring beyond its slack, crank degrees; null unless it is seen to take hold. */
  readonly secondRate: Figure | null;
  readonly slackDeg: Figure | null;
  /** Chance that a second spring takes hold before the stop. */
  readonly secondChance: number;
  /** Growth of the weights' moment over the reference advance, a share; null where the readings say nothing of it. */
  readonly growth: Figure | null;
  readonly referenceDeg: number;
  /** Standard deviation of a reading at the middle speed. */
  readonly scatterDeg: Figure;
  /** Chance of a line broken in the speed instead of a balance of moments. */
  readonly brokenLineChance: number;
  readonly setAside: readonly number[];
}

const SEEN_CHANCE = 0.9;
/** Less spread than this share of what was expected before: the readings have spoken. */
const NARROWED = 0.75;

const spreadOf = (values: readonly number[]): number => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
};

/** @param run position among the runs that were fitted
 * @throws RangeError if there is no such run */
export function lumpedFigures(posterior: Posterior, run = 0): LumpedFigures {
  const { layout, draws, runs, reach, setAside } = posterior;
  const fitted = runs[run];
  if (!fitted) throw new RangeError(`wanted a run from 0 to ${runs.length - 1}, got ${run}`);
  const { parts } = fitted;
  const seen = reach[run]!;
  const balanced = draws.filter((point) => powerAt(point) === 2);
  const some = balanced.length > 0 ? balanced : draws;
  const each = (of: (lumped: Lumped, point: Float64Array) => number): Figure =>
    figureOf(some.map((point) => of(lumpedAt(layout, point, parts), point)));
  const held = some
    .map((point) => lumpedAt(layout, point, parts))
    .filter(({ secondRate, slackDeg }) => secondRate > 0 && slackDeg < MOST_SLACK_DEG);
  const second = seen.secondChance >= SEEN_CHANCE;
  const growth = some.map((point) => point[SHARED.growth]!);
  return {
    initialDeg: seen.rest ? each((_, point) => point[layout.initials[run]!]!) : null,
    startRpm: seen.rest ? each((lumped) => speedWith(lumped, UNCHANGED, 0)) : null,
    allInRpm: seen.stop
      ? each((lumped, point) => speedWith(lumped, UNCHANGED, rangeAt(layout, point, parts.stop)))
      : null,
    rangeDeg: seen.stop && seen.rest ? each((_, point) => rangeAt(layout, point, parts.stop)) : null,
    firstRate: each((lumped) => lumped.rate),
    secondRate: second ? figureOf(held.map((lumped) => lumped.secondRate)) : null,
    slackDeg: second ? figureOf(held.map((lumped) => lumped.slackDeg)) : null,
    secondChance: seen.secondChance,
    growth: spreadOf(growth) < NARROWED * GROWTH_REACH ? figureOf(growth) : null,
    referenceDeg: layout.scale.referenceDeg,
    scatterDeg: each((_, point) => Math.exp(point[SHARED.logScatter]!)),
    brokenLineChance: shareOf(draws, (point) => powerAt(point) === 1),
    setAside: setAside[run]!,
  };
}
const MOST_SLACK_DEG = 90;
