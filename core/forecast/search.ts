/** Which of the parts owned come nearest to the target: what the runs leave open, the sets of springs, the stops and
 * the target in; all combinations ranked, each with its reason in words, out. */
import type { Limits, Target } from '../job';
import { targetAt } from '../target';
import { forecast, type Forecast } from './forecast';
import type { SpringSet, StopOption } from './options';
import type { Posterior } from './posterior';
import { rankedText } from './search-text';

export interface Ranked {
  readonly springs: SpringSet;
  readonly stop: StopOption;
  readonly forecast: Forecast;
  /** How far the mean curve leaves the band at the worst speed, degrees; 0 inside it all along. */
  readonly beyondBandDeg: number;
  /** Where that is, and curve less target there; where it lies nearest to the band's edge for one inside. */
  readonly atRpm: number;
  readonly offDeg: number;
  /** Mean distance from the target's middle, degrees. */
  readonly meanOffDeg: number;
  /** Chance, as far as the worst speed tells, that the curve stays in the band there. */
  readonly couldBeInside: boolean;
  /** Share of the range that no reading with these springs reached. */
  readonly beyondShare: number;
  /** These springs and this stop were run together: nothing is forecast but the housing. */
  readonly measured: boolean;
  /** Limits that it would break, in words. */
  readonly overLimits: readonly string[];
  readonly text: string;
}

export interface Search {
  /** Those that break no limit first, then by how far they leave the band. */
  readonly ranked: readonly Ranked[];
  /** What cannot be forecast, and what would change that. */
  readonly unknown: readonly string[];
}

const STEP_RPM = 50;
/** How far past the target's outer corners the curve counts. */
const BESIDE_RPM = 500;

/** Speeds at which curve and target are compared, idle or a little below the first corner to past the last. */
export function comparedSpeeds({ corners }: Target, idleRpm: number | null): number[] {
  const [first, last] = [corners[0]!.rpm, corners.at(-1)!.rpm];
  const low = Math.max(STEP_RPM, idleRpm ?? first - BESIDE_RPM);
  const speeds = corners.map(({ rpm }) => rpm);
  for (let rpm = Math.ceil(low / STEP_RPM) * STEP_RPM; rpm <= last + BESIDE_RPM; rpm += STEP_RPM)
    speeds.push(rpm);
  return [...new Set([low, ...speeds])].sort((a, b) => a - b);
}

interface Distance {
  readonly beyondBandDeg: number;
  readonly atRpm: number;
  readonly offDeg: number;
  readonly meanOffDeg: number;
  readonly couldBeInside: boolean;
}

function distanceOf(at: Forecast['at'], target: Target, speeds: readonly number[]): Distance {
  let [worst, sum] = [{ rpm: speeds[0]!, offDeg: 0, inside: true }, 0];
  for (const rpm of speeds) {
    const { value, low, high } = at(rpm);
    const wanted = targetAt(target, rpm);
    const offDeg = value - wanted;
    sum += Math.abs(offDeg);
    const inside = low <= wanted + target.bandDeg && high >= wanted - target.bandDeg;
    if (Math.abs(offDeg) >= Math.abs(worst.offDeg)) worst = { rpm, offDeg, inside };
  }
  return {
    beyondBandDeg: Math.max(0, Math.abs(worst.offDeg) - target.bandDeg),
    atRpm: worst.rpm,
    offDeg: worst.offDeg,
    meanOffDeg: sum / speeds.length,
    couldBeInside: worst.inside,
  };
}

function brokenLimits(
  result: Forecast,
  { mostTotalDeg, mostIdleDeg }: Limits,
  totalDeg: number,
  idleRpm: number | null,
): string[] {
  const broken: string[] = [];
  if (mostTotalDeg !== null && totalDeg > mostTotalDeg)
    broken.push(
      `the total of ${totalDeg.toFixed(1)} degrees is over the limit of ${mostTotalDeg.toFixed(1)}`,
    );
  const idleDeg = idleRpm === null ? null : result.at(idleRpm).value;
  if (mostIdleDeg !== null && idleDeg !== null && idleDeg > mostIdleDeg)
    broken.push(`idle would read ${idleDeg.toFixed(1)} degrees, over the limit of ${mostIdleDeg.toFixed(1)}`);
  return broken;
}

/** What the search goes by besides the parts. */
export interface Wanted {
  readonly target: Target;
  readonly limits: Limits;
  readonly idleRpm: number | null;
}

/** Every combination of what can be forecast, the housing set so that the total is the target's.
 * @throws RangeError if the target has no corners */
export function searchParts(
  posterior: Posterior,
  springs: readonly SpringSet[],
  stops: readonly StopOption[],
  wanted: Wanted,
): Search {
  const totalDeg = targetAt(wanted.target, Infinity);
  const speeds = comparedSpeeds(wanted.target, wanted.idleRpm);
  const few = thinned(posterior);
  const ranked = springs.flatMap((set) =>
    stops.flatMap((stop): Ranked[] => {
      if (set.choice === null || stop.choice === null) return [];
      const result = forecast(few, { ...set.choice, stop: stop.choice }, { totalDeg });
      const distance = distanceOf(result.at, wanted.target, speeds);
      const overLimits = brokenLimits(result, wanted.limits, totalDeg, wanted.idleRpm);
      const found = {
        ...{ springs: set, stop, forecast: result, ...distance, overLimits },
        beyondShare: result.beyondShare,
        measured: wasRun(posterior, set, stop),
      };
      return [{ ...found, text: rankedText(found, wanted) }];
    }),
  );
  return { ranked: ranked.sort(byRank), unknown: unknownParts(springs, stops) };
}

/** The order of a search's results, for those that are searched part by part. */
export const byRank = (a: Ranked, b: Ranked): number =>
  Math.sign(a.overLimits.length) - Math.sign(b.overLimits.length) ||
  a.beyondBandDeg - b.beyondBandDeg ||
  a.meanOffDeg - b.meanOffDeg;

/** Enough draws for a rank; the forecast of the one chosen takes them all. */
const DRAWS = 300;
export function thinned(posterior: Posterior): Posterior {
  const every = Math.max(1, Math.floor(posterior.draws.length / DRAWS));
  return { ...posterior, draws: posterior.draws.filter((_, i) => i % every === 0) };
}

const wasRun = ({ runs }: Posterior, { known, choice }: SpringSet, stop: StopOption): boolean =>
  known === 'run' &&
  stop.known === 'run' &&
  runs.some(
    ({ parts }) =>
      parts.firstSpring === choice!.firstSpring.like &&
      parts.secondSpring === choice!.secondSpring.like &&
      'like' in stop.choice! &&
      parts.stop === stop.choice.like,
  );

/** Springs of which there are two. */
const hasPair = (springs: readonly SpringSet[], id: string): boolean =>
  springs.some(({ firstId, secondId }) => firstId === id && secondId === id);

/** What cannot be forecast, and what would change that, in words. */
export const unknownParts = (springs: readonly SpringSet[], stops: readonly StopOption[]): string[] => [
  ...springs
    .filter(
      ({ choice, firstId, secondId }) =>
        choice === null && (firstId === secondId || !hasPair(springs, firstId)),
    )
    .map(({ name, text }) => `${name}: ${text}`),
  ...stops.filter(({ choice }) => choice === null).map(({ name, text }) => `${name}: ${text}`),
];
