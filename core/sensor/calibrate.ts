/** Where a crank sensor stands and how late it is heard: strobe readings at some speeds beside what was measured there in;
 * angle and delay with intervals out. */
import { mean } from 'simple-statistics';
import type { Figure } from '../fit';
import { tQuantile } from '../curve/student-t';
import type { SensorPlace } from './spark-advance';

/** One speed held: the advance read off the light, corrected, and the advance measured with the place taken so far. */
export interface Comparison {
  readonly rpm: number;
  readonly seenDeg: number;
  readonly measuredDeg: number;
}

export interface Calibration {
  readonly angleDeg: Figure;
  /** null with readings at one speed only: an angle and a delay cannot be told apart there. */
  readonly delayUs: Figure | null;
}

/** Speeds closer than this, by ratio, are one speed. */
const APART = 1.3;
/** A reading off the light is good to about a degree (common practice): its standard deviation. */
export const EYE_SD_DEG = 0.7;
/** People and lights differ by a quarter or so: what is known of the eye beforehand weighs as much as so many readings. */
export const EYE_WEIGHS = 12;

/** @param place the one that `measuredDeg` was measured with
 * @returns null without a reading
 * @source advance = angle - 360 turns - 6 rpm delay: the error of both is a straight line over speed, by least squares */
export function calibrate(comparisons: readonly Comparison[], place: SensorPlace): Calibration | null {
  if (comparisons.length === 0) return null;
  const errors = comparisons.map(({ seenDeg, measuredDeg }) => seenDeg - measuredDeg);
  const speeds = comparisons.map(({ rpm }) => rpm);
  const n = comparisons.length;
  const meanRpm = mean(speeds);
  const meanError = mean(errors);
  const isOneSpeed = Math.max(...speeds) < APART * Math.min(...speeds);
  const power = speeds.reduce((sum, rpm) => sum + (rpm - meanRpm) ** 2, 0);
  const slope = isOneSpeed
    ? 0
    : speeds.reduce((sum, rpm, i) => sum + (rpm - meanRpm) * (errors[i]! - meanError), 0) / power;
  const residuals = errors.map((error, i) => error - meanError - slope * (speeds[i]! - meanRpm));
  const { sd, quantile } = scatter(residuals, isOneSpeed ? 1 : 2);
  const angleSd = sd * Math.sqrt(1 / n + (isOneSpeed ? 0 : meanRpm ** 2 / power));
  const angleDeg = place.angleDeg + meanError - slope * meanRpm;
  const perDeg = -1e6 / 6; // microseconds for a degree at 1 rpm
  return {
    angleDeg: figure(angleDeg, quantile * angleSd),
    delayUs: isOneSpeed
      ? null
      : figure(place.delayUs + perDeg * slope, Math.abs(perDeg) * quantile * (sd / Math.sqrt(power))),
  };
}

const figure = (value: number, half: number): Figure => ({ value, low: value - half, high: value + half });

/** The eye's standard deviation by what is known of it beforehand and what the readings show, with its 95 % quantile: so
 * few readings show their scatter badly, and the larger of both would be too wide at one time and too narrow at another.
 * @source Student's t of the posterior under a scaled inverse chi-squared prior (Gelman et al., Bayesian Data Analysis, from
 * memory) */
function scatter(residuals: readonly number[], fitted: number): { sd: number; quantile: number } {
  const free = Math.max(0, residuals.length - fitted);
  const shown = free > 0 ? residuals.reduce((sum, each) => sum + each * each, 0) : 0;
  const weighs = EYE_WEIGHS + free;
  return {
    sd: Math.sqrt((EYE_WEIGHS * EYE_SD_DEG ** 2 + shown) / weighs),
    quantile: tQuantile(0.05, weighs),
  };
}
