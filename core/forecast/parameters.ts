/** Where each lumped figure of one or more runs stands in a point of the sampler, and back: parts named in, places
 * out; a point in, the mechanism of any combination of those parts out. */
import type { Lumped } from './lumped';

/** Parts that were fitted in a run, by their ids: runs with the same id share the part. */
export interface RunParts {
  readonly firstSpring: string;
  /** null: there is no second spring. An id where there is one or may be one: the readings say how much of it is
   * seen. */
  readonly secondSpring: string | null;
  readonly stop: string;
}

export interface Scale {
  /** Advance beyond the initial at which a first spring's second speed is told, crank degrees: about the range. */
  readonly referenceDeg: number;
  /** Rates are told as shares of these, krpm and krpm² for each crank degree. */
  readonly usualRate: Readonly<Record<1 | 2, number>>;
}

/** Places of what all runs share. */
export const SHARED = { power: 0, growth: 1, logScatter: 2, scatterGrowth: 3 } as const;
const SHARED_COUNT = 4;

/** A broken line is as likely as one in five before any reading: the power's coordinate is standard normal. */
const BROKEN_LINE_ABOVE = 0.84;

export interface Layout {
  readonly size: number;
  readonly scale: Scale;
  /** Start speed, then speed at the reference advance with its companion, krpm. */
  readonly firstSprings: ReadonlyMap<string, number>;
  /** The second spring, or none, of the first run that each first spring was in. */
  readonly companions: ReadonlyMap<string, string | null>;
  /** Rate as a share of the usual one (none where below 0), then slack in crank degrees. */
  readonly secondSprings: ReadonlyMap<string, number>;
  /** Range in crank degrees. */
  readonly stops: ReadonlyMap<string, number>;
  /** Initial setting of each run, in their order, degrees. */
  readonly initials: readonly number[];
}

export function layoutOf(runs: readonly RunParts[], scale: Scale): Layout {
  let next: number = SHARED_COUNT;
  const places = (ids: readonly (string | null)[], each: number): Map<string, number> => {
    const found = new Map<string, number>();
    for (const id of ids) {
      if (id === null || found.has(id)) continue;
      found.set(id, next);
      next += each;
    }
    return found;
  };
  const firstSprings = places(
    runs.map((run) => run.firstSpring),
    2,
  );
  const secondSprings = places(
    runs.map((run) => run.secondSpring),
    2,
  );
  const stops = places(
    runs.map((run) => run.stop),
    1,
  );
  const initials = runs.map(() => next++);
  const companions = new Map(runs.toReversed().map((run) => [run.firstSpring, run.secondSpring] as const));
  return { size: next, scale, firstSprings, companions, secondSprings, stops, initials };
}

/** @throws RangeError if no run had the part */
function placeOf(places: ReadonlyMap<string, number>, id: string, what: string): number {
  const place = places.get(id);
  if (place === undefined) throw new RangeError(`wanted ${what} of a run that was fitted, got "${id}"`);
  return place;
}

export const powerAt = (point: Float64Array): 1 | 2 => (point[SHARED.power]! > BROKEN_LINE_ABOVE ? 1 : 2);

/** Rate of a second spring, krpm to the power for each crank degree. */
const secondRateAt = ({ scale }: Layout, point: Float64Array, at: number, power: 1 | 2): number =>
  Math.max(0, point[at]!) * scale.usualRate[power];

const secondPlace = ({ secondSprings }: Layout, spring: string | null): number | null =>
  spring === null ? null : placeOf(secondSprings, spring, 'a second spring');

/** The mechanism that a first spring, a second one or none and the runs' weights make.
 * @returns one whose rate is below 0 where the point cannot be
 * @throws RangeError if no run had such a spring */
export function lumpedAt(
  layout: Layout,
  point: Float64Array,
  { firstSpring, secondSpring }: Pick<RunParts, 'firstSpring' | 'secondSpring'>,
): Lumped {
  const first = placeOf(layout.firstSprings, firstSpring, 'a first spring');
  const power = powerAt(point);
  const [start, full] = [point[first]! ** power, point[first + 1]! ** power];
  const second = secondPlace(layout, secondSpring);
  const beside = secondPlace(layout, layout.companions.get(firstSpring)!);
  const { referenceDeg } = layout.scale;
  const grown = power === 2 ? point[SHARED.growth]! : 0;
  const taken =
    beside === null
      ? 0
      : secondRateAt(layout, point, beside, power) * Math.max(0, referenceDeg - point[beside + 1]!);
  return {
    power,
    rest: start,
    rate: (full * (1 + grown) - start - taken) / referenceDeg,
    secondRate: second === null ? 0 : secondRateAt(layout, point, second, power),
    slackDeg: second === null ? 0 : point[second + 1]!,
    growth: grown / referenceDeg,
  };
}

/** The range that a stop gives, crank degrees.
 * @throws RangeError if no run had the stop */
export const rangeAt = ({ stops }: Layout, point: Float64Array, stop: string): number =>
  point[placeOf(stops, stop, 'a stop')]!;
