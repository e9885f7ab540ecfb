/** Whether impulses that gather keep to a share of the interval, whatever its length, and where exactly: a table and a
 * place in; share, deviation and scatter out. */
import { middleOf } from '../quantile-of';
import { PEAKS } from './interval-peaks';
import type { PeakTable } from './peak-table';
import type { Cluster } from './clusters';

export interface SteadyPlace {
  /** From strike to impulse, share of the interval, and the standard deviation of that. */
  readonly share: number;
  readonly shareSd: number;
  /** Standard deviation from interval to interval. */
  readonly scatter: number;
  readonly intervals: number;
  /** Typical height of the impulse as a share of the strike's. */
  readonly height: number;
  /** Typical time from strike to impulse, seconds. */
  readonly afterS: number;
  /** How clearly it keeps to a share rather than to a time: deviations of the count. */
  readonly clearness: number;
}

/** First look about the place. */
const WIDE = 0.035;
/** A window of so many deviations, kept within bounds. */
const WINDOW = 3;
const LEAST_WINDOW = 0.006;
const MOST_WINDOW = 0.03;
/** Heights further from the typical one than by this factor are something else. */
const ALIKE = 2;
/** What an impulse might keep to instead: its time after the strike, or before the next, as a power of the interval. */
const OTHER_WAYS = [
  { fromEnd: false, power: 0 },
  { fromEnd: false, power: 0.33 },
  { fromEnd: false, power: 0.6 },
  { fromEnd: true, power: 0 },
  { fromEnd: true, power: 0.5 },
] as const;
/** The other way's middle is tried so many windows off. */
const SHIFTS = [-1, -0.5, 0, 0.5, 1];
/** How well it is known how much later than its onset an impulse is timed than a strike is, seconds. */
const SHAPE_SD_S = 30e-6;

interface Near {
  readonly lengthS: number;
  readonly afterS: number;
  readonly fitted: number;
  readonly share: number;
}

/** Impulses of a sign in a stretch of each interval wide enough for all the ways that are compared. */
function gather(table: PeakTable, sign: number): Near[] {
  const { lengthS, afterS, fitted, share } = table;
  const all: Near[] = [];
  for (let i = 0; i < lengthS.length; i++)
    for (let p = i * PEAKS; lengthS[i]! > 0 && p < (i + 1) * PEAKS; p++)
      if (fitted[p]! * sign > 0)
        all.push({
          lengthS: lengthS[i]!,
          afterS: afterS[p]!,
          fitted: Math.abs(fitted[p]!),
          share: share[p]!,
        });
  return all;
}

/** @returns null where too little stays once it is looked at closely */
export function steadyPlace(table: PeakTable, cluster: Cluster): SteadyPlace | null {
  const all = gather(table, cluster.sign);
  const placeOf = (one: Near): number => one.afterS / one.lengthS;
  const wide = all.filter((one) => Math.abs(placeOf(one) - cluster.place) < WIDE);
  if (wide.length < 12) return null;
  const typical = middleOf(wide.map(({ fitted }) => fitted));
  const alike = all.filter(({ fitted }) => fitted < ALIKE * typical && fitted * ALIKE > typical);
  let centre = cluster.place;
  let window = MOST_WINDOW;
  let members: Near[] = [];
  for (let round = 0; round < 4; round++) {
    members = alike.filter((one) => Math.abs(placeOf(one) - centre) < window);
    if (members.length < 12) return null;
    centre = middleOf(members.map(placeOf));
    const scatter = 1.4826 * middleOf(members.map((one) => Math.abs(placeOf(one) - centre)));
    window = Math.min(MOST_WINDOW, Math.max(LEAST_WINDOW, WINDOW * scatter));
  }
  const clearness = Math.min(...OTHER_WAYS.map((way) => preferred(alike, members, centre, window, way)));
  return {
    ...fitted(members),
    clearness,
    afterS: middleOf(members.map(({ afterS }) => afterS)),
    height: middleOf(members.map(({ share }) => share)),
  };
}

/** How many deviations more impulses keep to the share than to another way. */
function preferred(
  alike: readonly Near[],
  members: readonly Near[],
  centre: number,
  window: number,
  { fromEnd, power }: (typeof OTHER_WAYS)[number],
): number {
  const way = ({ lengthS, afterS }: Near): number =>
    Math.log(fromEnd ? lengthS - afterS : afterS) - power * Math.log(lengthS);
  const inside = window / (fromEnd ? 1 - centre : centre);
  const middle = middleOf(members.map(way));
  const [only, other] = [new Int32Array(SHIFTS.length), new Int32Array(SHIFTS.length)];
  for (const one of alike) {
    const isMember = Math.abs(one.afterS / one.lengthS - centre) < window;
    const off = (way(one) - middle) / inside;
    SHIFTS.forEach((shift, s) => {
      const isOther = Math.abs(off - shift) < 1;
      if (isMember && !isOther) only[s]!++;
      if (isOther && !isMember) other[s]!++;
    });
  }
  return Math.min(...SHIFTS.map((_, s) => (only[s]! - other[s]!) / Math.sqrt(only[s]! + other[s]! + 1)));
}

/** The share by a line: time after the strike = share · interval + what the shapes put between their peaks.
 * @source Weighted least squares with a normal prior on the constant */
function fitted(members: readonly Near[]): Pick<SteadyPlace, 'share' | 'shareSd' | 'scatter' | 'intervals'> {
  const n = members.length;
  const place = (one: Near): number => one.afterS / one.lengthS;
  const mean = members.reduce((sum, one) => sum + place(one), 0) / n;
  const scatter = Math.sqrt(members.reduce((sum, one) => sum + (place(one) - mean) ** 2, 0) / (n - 1));
  // place = share + shape / length
  let [sx, sxx, sy, sxy] = [0, 0, 0, 0];
  for (const one of members) {
    const x = SHAPE_SD_S / one.lengthS;
    sx += x;
    sxx += x * x;
    const y = place(one);
    sy += y;
    sxy += x * y;
  }
  const prior = scatter * scatter;
  const determinant = n * (sxx + prior) - sx * sx;
  const share = ((sxx + prior) * sy - sx * sxy) / determinant;
  const shareSd = scatter * Math.sqrt((sxx + prior) / determinant);
  return { share, shareSd, scatter, intervals: n };
}
