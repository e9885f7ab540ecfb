/** How a reading learns its period where noise stands as tall as strikes: interval and trend with their variances, so that
 * what is due when is known as well as can be, and the less the longer the interval. Plain sums on a reading.
 * @source Kalman, Trans. ASME J. Basic Engineering 82 (1960) 35-45 (memory) */
import type { Candidates } from '../impulses/candidates';
import type { Beat } from './beat-limits';
import { learnShift } from './beat-period';
import type { Lie } from './next-strike';
import { timeDensity, type Timed } from './noise-costs';
import type { Reading } from './reading-of-beat';

/** Relative deviations of one interval of a steady engine, and of the roughest that can be followed among noise. */
const LEAST_SCATTER = 1.5e-3;
const MOST_SCATTER = 0.03;
/** Where its speed turns, it changes from then on by so much a second, relatively; it wanders besides. */
const TURN_PER_S = 0.5;
const WANDER_PER_S = 0.05;
/** A beat just found knows its interval, and how that changes, so well. */
const START_SD = 0.01;
const START_TREND_SD = 0.005;
/** Its first intervals tell how they change. */
const EARLY = 12;
const UNEVENNESS_GAIN = 0.2;
/** What the first strikes are taken to have spoken for the beat. */
const STRAIN_AT_FIRST = -5;

const timed: Timed = { logDensity: 0, turned: 0 };

/** @param found what the beat was found in */
export function beginAmongNoise(reading: Reading, beat: Beat, found: Candidates): void {
  const intervals = firstIntervals(beat, found);
  const trend = trendOf(intervals);
  reading.trend = trend;
  reading.logPeriod = middleOf(intervals.map(({ logS, at }) => logS - trend * (at + 0.5)))!;
  reading.unevenness = unevennessOf(intervals, trend);
  reading.periodVar = START_SD ** 2;
  reading.trendVar = START_TREND_SD ** 2;
  reading.covariance = 0;
  reading.strain = STRAIN_AT_FIRST;
}

/** Mean interval from strike to strike, natural logarithm, and where its middle lies, in intervals after the first strike. */
interface Interval {
  readonly logS: number;
  readonly at: number;
}

function firstIntervals({ strikes, steps }: Beat, found: Candidates): Interval[] {
  const timeS = (i: number): number => found.timeS[found.at(strikes[i]!)]!;
  const intervals: Interval[] = [];
  let place = 0;
  for (let i = 1; i <= Math.min(EARLY, strikes.length - 1); i++) {
    intervals.push({ logS: Math.log((timeS(i) - timeS(i - 1)) / steps[i]!), at: place + steps[i]! / 2 });
    place += steps[i]!;
  }
  return intervals;
}

const middleOf = (values: number[]): number | undefined => values.sort((a, b) => a - b)[values.length >> 1];

/** The middle of the slopes between any two: noise stands for some of the strikes.
 * @source Sen, J. American Statistical Association 63 (1968) 1379-1389 (memory) */
function trendOf(intervals: readonly Interval[]): number {
  const slopes = intervals.flatMap((one, i) =>
    intervals.slice(i + 1).map((other) => (other.logS - one.logS) / (other.at - one.at)),
  );
  return middleOf(slopes) ?? 0;
}

/** By the middle of all changes from interval to interval, for the same reason. */
function unevennessOf(intervals: readonly Interval[], trend: number): number {
  const squares = intervals.slice(1).map((one, i) => {
    const before = intervals[i]!;
    return (one.logS - before.logS - trend * (one.at - before.at)) ** 2;
  });
  return middleOf(squares) ?? LEAST_SCATTER ** 2;
}

/** So many intervals' mean lies so many after the last. */
const leverOf = (steps: number): number => (steps + 1) / 2;

function knownVar({ periodVar, covariance, trendVar }: Reading, steps: number): number {
  const lever = leverOf(steps);
  return periodVar + 2 * lever * covariance + lever * lever * trendVar;
}

function scatterVar(reading: Reading, steps: number, sinceS: number, timeVar: number): number {
  const own = Math.min(MOST_SCATTER ** 2, Math.max(LEAST_SCATTER ** 2, reading.unevenness));
  return own / steps + (2 * timeVar) / (sinceS * sinceS);
}

const turnOf = (steps: number, sinceS: number): number => (TURN_PER_S * sinceS) / steps;

/** How a strike's time comes about. A turn anywhere in the first interval, each moment as likely, is a change v of the trend
 * and one of the period between -v and 0: of mean -v/2 and mean square v²/3. */
function weigh(reading: Reading, { steps, deviation }: Lie, sinceS: number, timeVar: number): void {
  const lever = leverOf(steps);
  const turnVar = turnOf(steps, sinceS) ** 2 * (1 / 3 - lever + lever * lever);
  const variance = knownVar(reading, steps) + scatterVar(reading, steps, sinceS, timeVar);
  timeDensity(deviation, variance, turnVar, sinceS, timed);
}

/** What a strike's time costs, natural logarithm of seconds. @param sinceS since the last @param timeVar of a strike */
export function timeCostAmongNoise(reading: Reading, lie: Lie, sinceS: number, timeVar: number): number {
  weigh(reading, lie, sinceS, timeVar);
  return Math.log(sinceS) - timed.logDensity;
}

/** Moves a reading's period and trend by the strike taken.
 * @param slotBefore place in the pattern of the strike before @param sinceS since that */
export function followAmongNoise(
  reading: Reading,
  slotBefore: number,
  lie: Lie,
  sinceS: number,
  timeVar: number,
): void {
  const { steps, deviation } = lie;
  weigh(reading, lie, sinceS, timeVar);
  const known = knownVar(reading, steps);
  const turn = timed.turned * turnOf(steps, sinceS) ** 2;
  reading.periodVar += turn / 3;
  reading.covariance -= turn / 2;
  reading.trendVar += turn;
  correct(reading, leverOf(steps), deviation, scatterVar(reading, steps, sinceS, timeVar));
  goOn(reading, steps, sinceS);
  const own = Math.max(0, deviation * deviation - known) * steps;
  const most = 12 * reading.unevenness + LEAST_SCATTER ** 2;
  reading.unevenness += UNEVENNESS_GAIN * (1 - timed.turned) * (Math.min(most, own) - reading.unevenness);
  if (reading.slotShift.length > 1 && steps === 1) learnShift(reading, slotBefore, deviation);
}

function correct(reading: Reading, lever: number, deviation: number, scatter: number): void {
  const withPeriod = reading.periodVar + lever * reading.covariance;
  const withTrend = reading.covariance + lever * reading.trendVar;
  const variance = withPeriod + lever * withTrend + scatter;
  const ofPeriod = withPeriod / variance;
  const ofTrend = withTrend / variance;
  reading.logPeriod += ofPeriod * deviation;
  reading.trend += ofTrend * deviation;
  reading.periodVar -= ofPeriod * withPeriod;
  reading.covariance -= ofPeriod * withTrend;
  reading.trendVar -= ofTrend * withTrend;
}

/** The period becomes that of the last interval. */
function goOn(reading: Reading, steps: number, sinceS: number): void {
  reading.logPeriod += steps * reading.trend;
  reading.periodVar += steps * (2 * reading.covariance + steps * reading.trendVar);
  reading.covariance += steps * reading.trendVar;
  reading.trendVar += (WANDER_PER_S * sinceS) ** 2 * sinceS;
}

/** As many strikes come as were followed again: intervals are half as long, and change half as much each. */
export function halvePeriod(reading: Reading): void {
  reading.logPeriod -= Math.LN2;
  reading.trend /= 2;
  reading.covariance /= 2;
  reading.trendVar /= 4;
}
