/** Sparks measured over a run to readings: the advance of every spark in; mean, scatter and count at each speed, up and
 * down apart, out. A loop between up and down shows what sticks, scatter what is worn. */
import { tQuantile } from '../curve/student-t';
import type { Figure } from '../fit';
import type { Reading } from '../job';

export interface SparkAdvance {
  readonly timeS: number;
  readonly rpm: number;
  readonly advanceDeg: number;
  /** How far the measuring of advanceDeg may be off, a standard deviation. */
  readonly sdDeg: number;
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
  /** Standard deviation of single sparks about a line over speed, what measuring adds taken out, crank degrees; null for
   * fewer than four. */
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

/** Sums over one bin's sparks, speeds about its middle so that nothing is lost by rounding. */
interface Sums {
  readonly aboutRpm: number;
  readonly sweep: Sweep;
  n: number;
  time: number;
  rpm: number;
  deg: number;
  rpmRpm: number;
  rpmDeg: number;
  degDeg: number;
  /** Variances of the measuring. */
  measured: number;
}

/** Gathers sparks as they come: a bin costs the same whatever number of sparks is in it. */
export class SparkBinner {
  readonly #bins = new Map<string, Sums>();
  /** Sparks of the last moments: which way the speed goes is told by those after as well. */
  #waiting: SparkAdvance[] = [];
  #next = 0;

  /** @param spacingRpm width of a bin; its middles are whole multiples of it
   * @throws RangeError if it is not above 0 */
  constructor(private readonly spacingRpm: number) {
    if (!(spacingRpm > 0)) throw new RangeError(`bins must be wider than 0 rpm, got ${spacingRpm}`);
  }

  /** @param spark after all those before it */
  add(spark: SparkAdvance): void {
    this.#waiting.push(spark);
    while (this.#waiting[this.#next]!.timeS < spark.timeS - ABOUT_S) this.#put(this.#next++);
    if (this.#next > 256) this.#forget();
  }

  /** The bins of four sparks and more, by speed. */
  bins(): SparkBin[] {
    return [...this.#bins.values()]
      .filter(({ n }) => n >= FEWEST)
      .map(binOf)
      .sort((a, b) => a.aboutRpm - b.aboutRpm || a.timeS - b.timeS);
  }

  /** No more comes: the last sparks are put where they belong. */
  finish(): void {
    while (this.#next < this.#waiting.length) this.#put(this.#next++);
  }

  #forget(): void {
    const oldestS = this.#waiting[this.#next]!.timeS - ABOUT_S;
    const gone = this.#waiting.findIndex(({ timeS }) => timeS >= oldestS);
    this.#waiting.splice(0, gone);
    this.#next -= gone;
  }

  #put(at: number): void {
    const { timeS, rpm, advanceDeg, sdDeg } = this.#waiting[at]!;
    const aboutRpm = Math.round(rpm / this.spacingRpm) * this.spacingRpm;
    const sweep = this.#sweepAt(at);
    const key = `${aboutRpm} ${sweep}`;
    const none = { n: 0, time: 0, rpm: 0, deg: 0, rpmRpm: 0, rpmDeg: 0, degDeg: 0, measured: 0 };
    const sums = this.#bins.get(key) ?? { aboutRpm, sweep, ...none };
    this.#bins.set(key, sums);
    const off = rpm - aboutRpm;
    sums.n++;
    sums.time += timeS;
    sums.rpm += off;
    sums.deg += advanceDeg;
    sums.rpmRpm += off * off;
    sums.rpmDeg += off * advanceDeg;
    sums.degDeg += advanceDeg * advanceDeg;
    sums.measured += sdDeg * sdDeg;
  }

  #sweepAt(at: number): Sweep {
    const { timeS, rpm } = this.#waiting[at]!;
    let [from, to] = [at, at];
    while (from > 0 && this.#waiting[from - 1]!.timeS >= timeS - ABOUT_S) from--;
    while (to < this.#waiting.length - 1 && this.#waiting[to + 1]!.timeS <= timeS + ABOUT_S) to++;
    const [first, last] = [this.#waiting[from]!, this.#waiting[to]!];
    const overS = last.timeS - first.timeS;
    const change = overS > 0 ? (last.rpm - first.rpm) / overS / rpm : 0;
    return Math.abs(change) < HELD_PER_S ? null : change > 0 ? 'up' : 'down';
  }
}

/** All of a run's sparks, in order of time. @throws RangeError if the width is not above 0 */
export function sparkBins(sparks: readonly SparkAdvance[], spacingRpm: number): SparkBin[] {
  const binner = new SparkBinner(spacingRpm);
  for (const spark of sparks) binner.add(spark);
  binner.finish();
  return binner.bins();
}

function binOf({ aboutRpm, sweep, n, time, rpm, deg, rpmRpm, rpmDeg, degDeg, measured }: Sums): SparkBin {
  const [off, advanceDeg] = [rpm / n, deg / n];
  const power = Math.max(0, rpmRpm - n * off * off);
  // a held speed has no line over speed: its small wander says nothing of a slope
  const slope = sweep === null || power < 1e-9 ? 0 : (rpmDeg - n * off * advanceDeg) / power;
  const left = Math.max(0, degDeg - n * advanceDeg * advanceDeg - slope * slope * power);
  const fitted = slope === 0 ? 1 : 2;
  return {
    ...{ aboutRpm, sweep, advanceDeg },
    rpm: aboutRpm + off,
    sparks: n,
    rpmVariance: power / n,
    timeS: time / n,
    // the sparks' own scatter and what measuring adds are independent: their squares add
    scatterDeg: n > fitted + 1 ? Math.sqrt(Math.max(0, left / (n - fitted) - measured / n)) : null,
    atMiddleDeg: advanceDeg - slope * off,
  };
}

/** @param startedAt when the run began, ISO 8601 */
export function binReading(bin: SparkBin, id: string, startedAt: string): Reading {
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
    seenDeg: bin.advanceDeg,
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
