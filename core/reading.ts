/** One reading: the trace's stretch in which the mark was read in, its speed out; the degrees seen in, the advance
 * out. */
import { degInTime } from './angle';
import type { CurvePoint } from './fit';
import type { Corrections, Reading, Run } from './job';
import { notedStep } from './curve/noted';
import { robustMean } from './curve/robust';

/** The advance of a reading with what stands between tape and truth taken off, crank degrees: less what the tape shows
 * at true TDC, more what passed while the light lagged. What a crank sensor measured knows neither tape nor light.
 * @source Common practice: a fixed delay τ reads as 6 · rpm · τ of false retard */
export const advanceOf = (
  reading: Pick<Reading, 'rpm' | 'seenDeg'> & Partial<Pick<Reading, 'by'>>,
  corrections: Corrections,
): number =>
  reading.by === 'crank sensor'
    ? reading.seenDeg
    : reading.seenDeg -
      corrections.tapeZeroErrorDeg +
      degInTime(reading.rpm, corrections.lightDelayUs * 1e-6);

/** What is seen on the tape for an advance: the inverse of `advanceOf`. */
export const seenFor = (advanceDeg: number, rpm: number, corrections: Corrections): number =>
  advanceDeg + corrections.tapeZeroErrorDeg - degInTime(rpm, corrections.lightDelayUs * 1e-6);

/** A run's readings for the fit, in their own order, with the step to which the eye rounded them. */
export function curvePoints(run: Pick<Run, 'readings' | 'corrections'>): CurvePoint[] {
  const byLight = run.readings.filter(({ by }) => by === 'light');
  const stepDeg = notedStep(byLight.map(({ seenDeg }) => seenDeg));
  return run.readings.map((reading) => ({
    rpm: reading.rpm,
    advanceDeg: advanceOf(reading, run.corrections),
    rpmSd: reading.rpmSd,
    ...(stepDeg === null || reading.by !== 'light' ? {} : { roundDeg: stepDeg }),
  }));
}

/** The speed at which a mark was read. */
export interface PinnedSpeed {
  readonly rpm: number;
  /** Spread of the speed over the stretch, rpm; null for one speed alone. */
  readonly rpmSd: number | null;
  /** false: the speed moved while the mark was read. */
  readonly steady: boolean;
}

/** A drift over the stretch up to this share of the speed is nobody's fault: a hand on the throttle does as much. */
const STILL_SHARE = 0.01;
/** A drift is told from an uneven idle when it stands out of the scatter by so many standard errors. */
const STANDS_OUT = 3;

/** The robust mean and spread of the speed over a stretch of the trace, and whether it drifted.
 * @param trace columns of equal length; null or NaN is a gap
 * @param fromS, toS the stretch, both ends in it
 * @returns null where the stretch holds no speed
 * @throws RangeError if the columns differ in length or the stretch ends before it starts */
export function pinSpeed(
  trace: { readonly timeS: ArrayLike<number>; readonly rpm: ArrayLike<number | null> },
  fromS: number,
  toS: number,
): PinnedSpeed | null {
  if (trace.timeS.length !== trace.rpm.length)
    throw new RangeError(`wanted columns of one length, got ${trace.timeS.length} and ${trace.rpm.length}`);
  if (!(toS >= fromS)) throw new RangeError(`wanted a stretch that ends after ${fromS} s, got ${toS} s`);
  const timesS: number[] = [];
  const speeds: number[] = [];
  for (let i = 0; i < trace.timeS.length; i++) {
    const [timeS, rpm] = [trace.timeS[i]!, trace.rpm[i]];
    if (timeS < fromS || timeS > toS || rpm == null || Number.isNaN(rpm)) continue;
    timesS.push(timeS);
    speeds.push(rpm);
  }
  const robust = robustMean(speeds);
  if (robust === null) return null;
  const rpmSd = speeds.length > 1 ? robust.sd : null;
  return { rpm: robust.mean, rpmSd, steady: !drifted(timesS, speeds, robust.mean) };
}

/** Whether a straight line through the speeds rises or falls, over the stretch, by more than is still and more than
 * the scatter about it explains. */
function drifted(timesS: readonly number[], speeds: readonly number[], rpm: number): boolean {
  const n = timesS.length;
  if (n < 3) return n === 2 && Math.abs(speeds[1]! - speeds[0]!) > STILL_SHARE * rpm;
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / n;
  const [middleS, level] = [mean(timesS), mean(speeds)];
  const spreadSS = timesS.reduce((sum, t) => sum + (t - middleS) ** 2, 0);
  const slope = timesS.reduce((sum, t, i) => sum + (t - middleS) * (speeds[i]! - level), 0) / spreadSS;
  const squares = speeds.reduce((sum, v, i) => sum + (v - level - slope * (timesS[i]! - middleS)) ** 2, 0);
  const lengthS = timesS.at(-1)! - timesS[0]!;
  const error = Math.sqrt(squares / (n - 2) / spreadSS) * lengthS;
  const drift = Math.abs(slope) * lengthS;
  return drift > STILL_SHARE * rpm && drift > STANDS_OUT * error;
}
