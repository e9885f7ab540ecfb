/** What the rate filter says at strikes a test names by the intervals between them. */
import { createRandom } from '../../dsp/maker/random';
import { RateFilter } from '../../dsp/rate/rate';

/** Interval at the lowest rate that can be. */
export const LONGEST_S = 0.6;
/** Of a strike's time, and what the filter is told of it. */
const SCATTER_S = 2e-6;
const TIME_SD_S = 1e-6;

export interface Said {
  readonly rateHz: number;
  readonly sdHz: number;
}

/** What is said at each strike, the first left out. @param seed and @param stream of the times' scatter */
export function saidRates(
  intervalsS: readonly number[],
  seed: number,
  stream: number,
  longestS = LONGEST_S,
): Said[] {
  const random = createRandom(seed, stream);
  const filter = new RateFilter(longestS);
  filter.reset(intervalsS[0]!);
  filter.take(0, TIME_SD_S ** 2);
  let timeS = 0;
  return intervalsS.map((intervalS) => {
    timeS += intervalS;
    filter.take(timeS + SCATTER_S * random.normal(), TIME_SD_S ** 2);
    return { rateHz: filter.rateHz!, sdHz: filter.rateSdHz! };
  });
}

export const held = (intervalS: number, count: number): number[] => Array<number>(count).fill(intervalS);
