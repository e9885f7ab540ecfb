/** Sparks measured over a run to readings: the advance of every spark in; mean, scatter and count at each speed, up and
 * down apart, out. A loop between up and down shows what sticks, scatter what is worn. */
import { tQuantile } from '../curve/student-t';
import type { Figure } from '../fit';
import type { Reading } from '../job';

export interface SparkAdvance {
  readonly timeS: number;
  readonly rpm: number;
  readonly advanceDeg: number;
}

export type Sweep = 'up' | 'down' | null;

/** The sparks about one speed, on one way. */
export interface SparkBin {
  /** The middle of the bin. */
  readonly aboutRpm: number;
  readonly sweep: Sweep;
  readonly sparks: number;
  /** Means of all its sparks. */
  readonly timeS: number;
  readonly rpm: number;
  readonly advanceDeg: number;
  /** Standard deviation of single sparks about a line over speed, crank degrees; null for fewer than four. */
  readonly scatterDeg: number | null;
  /** Of its sparks' speeds, rpm squared. */
  readonly rpmVariance: number;
  /** Mean advance at the middle of the bin, along that line. */
  readonly atMiddleDeg: number;
}

/** Speed that changes by less than this share a second is held. */
const HELD_PER_S = 0.02;
/** The change is looked at over this time to either side. */
const ABOUT_S = 0.75;
const FEWEST = 4;

/** @param sparks in order of time @param spacingRpm width of a bin; its middles are whole multiples of it
 * @throws RangeError if the width is not above 0 */
export function sparkBins(sparks: readonly SparkAdvance[], spacingRpm: number): SparkBin[] {
  if (!(spacingRpm > 0)) throw new RangeError(`bins must be wider than 0 rpm, got ${spacingRpm}`);
  const groups = new Map<string, { aboutRpm: number; sweep: Sweep; of: SparkAdvance[] }>();
  const sweeps = sweepsOf(sparks);
  sparks.forEach((spark, i) => {
    const aboutRpm = Math.round(spark.rpm / spacingRpm) * spacingRpm;
    const sweep = sweeps[i]!;
    const key = `${aboutRpm} ${sweep}`;
    const group = groups.get(key) ?? { aboutRpm, sweep, of: [] };
    groups.set(key, group);
    group.of.push(spark);
  });
  return [...groups.values()]
    .filter(({ of }) => of.length >= FEWEST)
    .map(({ aboutRpm, sweep, of }) => binOf(aboutRpm, sweep, of))
    .sort((a, b) => a.aboutRpm - b.aboutRpm || a.timeS - b.timeS);
}

function sweepsOf(sparks: readonly SparkAdvance[]): Sweep[] {
  let [from, to] = [0, 0];
  return sparks.map(({ timeS, rpm }) => {
    while (sparks[from]!.timeS < timeS - ABOUT_S) from++;
    while (to < sparks.length - 1 && sparks[to + 1]!.timeS <= timeS + ABOUT_S) to++;
    const [first, last] = [sparks[from]!, sparks[to]!];
    const overS = last.timeS - first.timeS;
    const change = overS > 0 ? (last.rpm - first.rpm) / overS / rpm : 0;
    return Math.abs(change) < HELD_PER_S ? null : change > 0 ? 'up' : 'down';
  });
}

function binOf(aboutRpm: number, sweep: Sweep, of: readonly SparkAdvance[]): SparkBin {
  const mean = (value: (spark: SparkAdvance) => number): number =>
    of.reduce((sum, spark) => sum + value(spark), 0) / of.length;
  const [rpm, advanceDeg] = [mean((spark) => spark.rpm), mean((spark) => spark.advanceDeg)];
  const power = of.reduce((sum, spark) => sum + (spark.rpm - rpm) ** 2, 0);
  // a held speed has no line over speed: its small wander says nothing of a slope
  const slope =
    sweep === null || power === 0
      ? 0
      : of.reduce((sum, spark) => sum + (spark.rpm - rpm) * (spark.advanceDeg - advanceDeg), 0) / power;
  const fitted = slope === 0 ? 1 : 2;
  const left = of.reduce(
    (sum, spark) => sum + (spark.advanceDeg - advanceDeg - slope * (spark.rpm - rpm)) ** 2,
    0,
  );
  return {
    ...{ aboutRpm, sweep, rpm, advanceDeg },
    sparks: of.length,
    rpmVariance: power / of.length,
    timeS: mean((spark) => spark.timeS),
    scatterDeg: of.length > fitted + 1 ? Math.sqrt(left / (of.length - fitted)) : null,
    atMiddleDeg: advanceDeg + slope * (aboutRpm - rpm),
  };
}

/** @param seenDegOf the degrees that, with the run's corrections applied, give this advance
 * @param at when the run began, ISO 8601 */
export function binReading(
  bin: SparkBin,
  id: string,
  startedAt: string,
  seenDegOf: (advanceDeg: number, rpm: number) => number,
): Reading {
  return {
    id,
    at: new Date(Date.parse(startedAt) + 1000 * bin.timeS).toISOString(),
    by: 'crank sensor',
    scatterDeg: bin.scatterDeg,
    sparks: bin.sparks,
    sweep: bin.sweep,
    timeS: bin.timeS,
    rpm: bin.rpm,
    rpmSd: null,
    seenDeg: seenDegOf(bin.advanceDeg, bin.rpm),
    steady: bin.sweep === null,
    stepRpm: bin.aboutRpm,
    note: '',
  };
}

/** How far the way up lies from the way down, where both were run: pairs of bins weigh by their sparks.
 * @returns advance on the way down less that on the way up, its mean over the speeds with a 95 % interval; null for
 * fewer than three speeds
 * @source Student's t over paired differences, weighted by the inverse of their variances */
export function sweepLoop(bins: readonly SparkBin[]): Figure | null {
  const pairs = bins
    .filter(({ sweep }) => sweep === 'up')
    .flatMap((up) => {
      const down = bins.find(({ sweep, aboutRpm }) => sweep === 'down' && aboutRpm === up.aboutRpm);
      if (!down) return [];
      const weight = 1 / (middleVariance(up) + middleVariance(down));
      return [{ differs: down.atMiddleDeg - up.atMiddleDeg, weight }];
    });
  const n = pairs.length;
  if (n < 3) return null;
  const weights = pairs.reduce((sum, { weight }) => sum + weight, 0);
  const mean = pairs.reduce((sum, { differs, weight }) => sum + weight * differs, 0) / weights;
  const spread =
    pairs.reduce((sum, { differs, weight }) => sum + weight * (differs - mean) ** 2, 0) / (n - 1);
  const half = tQuantile(0.05, n - 1) * Math.sqrt(spread / weights);
  return { value: mean, low: mean - half, high: mean + half };
}

/** Variance of the advance at a bin's middle, in those of one spark: of a mean, and of a line carried to the middle. */
const middleVariance = ({ sparks, rpm, aboutRpm, rpmVariance }: SparkBin): number =>
  (1 + (rpmVariance > 0 ? (aboutRpm - rpm) ** 2 / rpmVariance : 0)) / sparks;
