/** What a crank sensor tells, as figures and sentences: bins in, words out. */
import type { Calibration, Comparison } from '../../../core/sensor/calibrate';
import { sweepLoop, type SparkBin } from '../../../core/sensor/spark-bins';
import type { Reading } from '../../../core/job';
import { numberText } from '../../format';

/** Mean and standard deviation of the last sparks; null before two. */
export function markNow(recentDeg: readonly number[]): { meanDeg: number; sdDeg: number } | null {
  const n = recentDeg.length;
  if (n < 2) return null;
  const meanDeg = recentDeg.reduce((a, b) => a + b, 0) / n;
  const squares = recentDeg.reduce((sum, deg) => sum + (deg - meanDeg) ** 2, 0);
  return { meanDeg, sdDeg: Math.sqrt(squares / (n - 1)) };
}

/** Whether the way down lies off the way up; null where both were not run over three speeds. */
export function loopSentence(bins: readonly SparkBin[]): string | null {
  const loop = sweepLoop(bins);
  if (!loop) return null;
  const { value, low, high } = loop;
  const between = `${numberText(Math.abs(value), 1)}° (${numberText(low, 1)} to ${numberText(high, 1)})`;
  if (low <= 0 && high >= 0) return `Up and down agree: ${between} between them.`;
  const way = value > 0 ? 'more' : 'less';
  return `On the way down there is ${between} ${way} advance than on the way up: weights that stick, or worn springs and pins, make such a loop.`;
}

/** Where single sparks scatter most; null before there is a scatter. */
export function scatterSentence(bins: readonly SparkBin[]): string | null {
  const known = bins.filter((bin) => bin.scatterDeg !== null && bin.sparks >= 10);
  if (known.length === 0) return null;
  const worst = known.reduce((a, b) => (b.scatterDeg! > a.scatterDeg! ? b : a));
  const best = known.reduce((a, b) => (b.scatterDeg! < a.scatterDeg! ? b : a));
  const at = (bin: SparkBin): string => `${numberText(bin.scatterDeg!, 2)}° about ${bin.aboutRpm} rpm`;
  return worst === best
    ? `Single sparks scatter by ${at(best)}.`
    : `Single sparks scatter by ${at(best)} at the least and ${at(worst)} at the most: much scatter means a worn bush, gear or drive.`;
}

/** Readings off the light beside what the sensor measured at their speeds.
 * @param advanceDegOf a reading's advance, corrected */
export function comparisonsOf(
  readings: readonly Reading[],
  bins: readonly SparkBin[],
  advanceDegOf: (reading: Reading) => number,
): Comparison[] {
  return readings
    .filter(({ by }) => by === 'light')
    .flatMap((reading) => {
      const near = bins.filter(({ aboutRpm }) => Math.abs(aboutRpm - reading.rpm) <= 0.05 * reading.rpm + 50);
      const sparks = near.reduce((sum, bin) => sum + bin.sparks, 0);
      if (sparks === 0) return [];
      const measuredDeg = near.reduce((sum, bin) => sum + bin.sparks * bin.advanceDeg, 0) / sparks;
      return [{ rpm: reading.rpm, seenDeg: advanceDegOf(reading), measuredDeg }];
    });
}

export function calibrationSentence({ angleDeg, delayUs }: Calibration): string {
  const half = ({ low, high }: { low: number; high: number }): number => (high - low) / 2;
  const angle = `The sensor stands ${numberText(angleDeg.value, 1)}° before TDC (give or take ${numberText(half(angleDeg), 1)}°)`;
  return delayUs
    ? `${angle} and is heard ${numberText(delayUs.value, 0)} µs late (give or take ${numberText(half(delayUs), 0)} µs).`
    : `${angle}. Its delay is not seen yet: read the light at a speed half as high again, or more.`;
}
