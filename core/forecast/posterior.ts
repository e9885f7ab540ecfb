/** What the readings of one or more runs leave open about the mechanism: runs in, mechanisms drawn as often as they
 * are likely out. */
import { fitCurve, type CurveFit } from '../fit';
import { evenChance, normalChance } from './chance';
import { gathered } from './gather';
import { likelihoodOf, priorOf, slipChances, type FittedRun } from './likelihood';
import { type Layout, layoutOf, type Scale, SHARED } from './parameters';
import { type Reach, reachOf } from './reach';
import { draw, type Walk } from './sampler';

export interface Posterior {
  /** Their readings gathered where they are very many. */
  readonly runs: readonly FittedRun[];
  /** The broken line through each run's readings, and what those show. */
  readonly fits: readonly CurveFit[];
  readonly layout: Layout;
  /** Points of the layout. */
  readonly draws: readonly Float64Array[];
  /** Positions, from 0, of the readings of each run that are slips more likely than not. */
  readonly setAside: readonly (readonly number[])[];
  /** How far each run's readings reach. */
  readonly reach: readonly Reach[];
}

/** Readings too few, level or falling: there is no mechanism to be told from them. The message is a sentence. */
export class NoRamp extends Error {
  override readonly name = 'NoRamp';
}

/** What a curve looks like at first sight: where to start looking. */
interface FirstSight {
  readonly initialDeg: number;
  readonly startKrpm: number;
  readonly allInKrpm: number;
  readonly rangeDeg: number;
}

function firstSight({ points }: FittedRun, fit: CurveFit): FirstSight {
  const kept = points.filter((_, i) => !fit.setAside.includes(i));
  const speeds = kept.map((point) => point.rpm);
  const [low, high] = [Math.min(...speeds), Math.max(...speeds)];
  const advances = [low, high].map((rpm) => fit.predict(rpm)!) as [number, number];
  return {
    initialDeg: advances[0],
    startKrpm: (fit.startRpm?.value ?? low) / 1000,
    allInKrpm: (fit.allInRpm?.value ?? high) / 1000,
    rangeDeg: Math.max(3, advances[1] - advances[0]),
  };
}

function checkRuns(runs: readonly FittedRun[]): CurveFit[] {
  if (runs.length === 0) throw new RangeError('wanted at least one run, got none');
  return runs.map(({ points }) => {
    const fit = fitCurve(points);
    if (fit.shape === null || (fit.slopeDegPer1000Rpm ?? 0) <= 0)
      throw new NoRamp(fit.notes[0] ?? 'The readings show no rise of the advance.');
    return fit;
  });
}

const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;

function scaleOf(sights: readonly FirstSight[]): Scale {
  const referenceDeg = median(sights.map((sight) => sight.rangeDeg));
  const rate = (power: 1 | 2): number =>
    median(
      sights.map(
        ({ startKrpm, allInKrpm, rangeDeg }) => (allInKrpm ** power - startKrpm ** power) / rangeDeg,
      ),
    );
  return { referenceDeg, usualRate: { 1: rate(1), 2: rate(2) } };
}

/** A point near first sight, as far off as the readings may be. */
function startNear(
  layout: Layout,
  runs: readonly FittedRun[],
  sights: readonly FirstSight[],
  even: () => number,
): Float64Array {
  const normal = normalChance(even);
  const near = (value: number, share: number): number => value * Math.exp(share * normal());
  const point = new Float64Array(layout.size);
  point[SHARED.power] = normal();
  point[SHARED.growth] = 0.25 + 0.2 * normal();
  point[SHARED.logScatter] = 0.3 * normal();
  point[SHARED.scatterGrowth] = 0.2 * normal();
  runs.forEach(({ parts }, i) => {
    const { initialDeg, startKrpm, allInKrpm, rangeDeg } = sights[i]!;
    const first = layout.firstSprings.get(parts.firstSpring)!;
    point[first] = near(startKrpm, 0.08);
    point[first + 1] = Math.max(near(allInKrpm, 0.08), point[first] * 1.05);
    if (parts.secondSpring !== null) {
      const second = layout.secondSprings.get(parts.secondSpring)!;
      point[second] = 0.7 * normal();
      point[second + 1] = layout.scale.referenceDeg * (0.02 + 1.4 * even());
    }
    point[layout.stops.get(parts.stop)!] = Math.min(48, near(rangeDeg, 0.05) + normal() ** 2 / 2);
    point[layout.initials[i]!] = initialDeg + 0.5 * normal();
  });
  return point;
}

/** @returns points that can be, as many as asked for */
export function startsFor(
  posterior: Omit<Posterior, 'draws' | 'setAside' | 'reach'>,
  count: number,
  seed: number,
) {
  const { layout, runs, fits } = posterior;
  const sights = runs.map((run, i) => firstSight(run, fits[i]!));
  const even = evenChance(seed);
  const prior = priorOf(
    layout,
    runs.map((run) => run.parts),
  );
  const starts: Float64Array[] = [];
  while (starts.length < count) {
    const point = startNear(layout, runs, sights, even);
    if (prior(point) > -Infinity) starts.push(point);
  }
  return starts;
}

/** Long enough that two walks with other seeds agree; measured on made runs. */
const WALK: Walk = { steps: 20, roundsAtStep: 25, rounds: 1000, keepEvery: 50, seed: 1 };
const walkersFor = (size: number): number => Math.max(80, 6 * size);

/** @throws NoRamp where a run's readings show no rise
 * @throws RangeError as `fitCurve`, and for no runs */
export function mechanismPosterior(given: readonly FittedRun[]): Posterior {
  const runs = given.map((run) => ({ ...run, points: gathered(run.points) }));
  const fits = checkRuns(runs);
  const sights = runs.map((run, i) => firstSight(run, fits[i]!));
  const layout = layoutOf(
    runs.map((run) => run.parts),
    scaleOf(sights),
  );
  const densities = {
    prior: priorOf(
      layout,
      runs.map((run) => run.parts),
    ),
    likelihood: likelihoodOf(layout, runs),
  };
  const starts = startsFor({ layout, runs, fits }, walkersFor(layout.size), 7);
  const draws = draw(densities, starts, WALK);
  const setAside = slipsOf(layout, runs, draws);
  const reach = runs.map(({ points, parts }, i) =>
    reachOf(
      layout,
      draws,
      points.filter((_, place) => !setAside[i]!.includes(place)),
      parts,
      fits[i]!,
    ),
  );
  return { runs, fits, layout, draws, setAside, reach };
}

function slipsOf(layout: Layout, runs: readonly FittedRun[], draws: readonly Float64Array[]): number[][] {
  const some = draws.filter((_, i) => i % 10 === 0);
  const chances = some.map((point) => slipChances(layout, runs, point));
  return runs.map(({ points }, run) =>
    points
      .map((_, i) => i)
      .filter((i) => chances.reduce((sum, each) => sum + each[run]![i]!, 0) > some.length / 2),
  );
}
