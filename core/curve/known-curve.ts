/** The curve of a fit as plain data in; its advance, band and rise at any speed out. A band is worked out once for each
 * speed: it takes a look at every curve that the readings allow. */
import { advanceAt, type ConfidenceSet, type Interval, levelInterval } from './allowed-curves';
import { onScale, shapeAt } from './ramp-shapes';

/** A figure with the ends of its 95 % interval. */
export interface Figure {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** What can be asked of a curve. */
export interface CurveLooks {
  /** The curve's advance, degrees; null outside the readings, save on a level that they show. */
  readonly predict: (rpm: number) => number | null;
  /** 95 % band for the mean curve at one speed, degrees; null where `predict` is. */
  readonly band: (rpm: number) => Interval | null;
  /** How much the advance grows from one speed to another, degrees; null where `predict` is at either. */
  readonly rise: (fromRpm: number, toRpm: number) => Figure | null;
}

interface Known {
  /** Speeds at which it is known, both ends with them. */
  readonly fromRpm: number;
  readonly toRpm: number;
}
/** One level for all readings, give or take half a 95 % interval. */
interface KnownLevel extends Known {
  readonly kind: 'level';
  readonly meanDeg: number;
  readonly halfDeg: number;
}
interface KnownRamp extends Known {
  readonly kind: 'ramp';
  readonly set: ConfidenceSet;
  /** By speed, rpm: those worked out so far. */
  readonly bands: Map<number, Interval>;
}
/** Plain data: it goes from thread to thread. */
export type KnownCurve = KnownLevel | KnownRamp;

const NOTHING: CurveLooks = { predict: () => null, band: () => null, rise: () => null };

/** @param curve null: no curve is known */
export function lookUp(curve: KnownCurve | null): CurveLooks {
  if (curve === null) return NOTHING;
  const within = (rpm: number): boolean => rpm >= curve.fromRpm && rpm <= curve.toRpm;
  const looks = curve.kind === 'level' ? atLevel(curve) : onRamp(curve);
  return {
    predict: (rpm) => (within(rpm) ? looks.predict(rpm) : null),
    band: (rpm) => (within(rpm) ? looks.band(rpm) : null),
    rise: (from, to) => (within(from) && within(to) ? looks.rise(from, to) : null),
  };
}

const atLevel = ({ meanDeg, halfDeg }: KnownLevel): CurveLooks => ({
  predict: () => meanDeg,
  band: () => ({ low: meanDeg - halfDeg, high: meanDeg + halfDeg }),
  rise: () => ({ value: 0, low: -2 * halfDeg, high: 2 * halfDeg }),
});

function onRamp({ set, bands }: KnownRamp): CurveLooks {
  const band = (rpm: number): Interval => {
    const known = bands.get(rpm) ?? bandAt(set, rpm);
    bands.set(rpm, known);
    return known;
  };
  return { predict: (rpm) => advanceAt(set.best, rpm), band, rise: (from, to) => riseOf(set, from, to) };
}

/** A figure's value with its interval, which is made to hold it. */
export const figure = (value: number, { low, high }: Interval): Figure => ({
  value,
  low: Math.min(low, value),
  high: Math.max(high, value),
});

const bandAt = (set: ConfidenceSet, rpm: number): Interval =>
  levelInterval(set, (scale) => {
    const x = onScale(scale, rpm);
    return (corners, weights) => shapeAt(corners, x, weights);
  });

function riseOf(set: ConfidenceSet, fromRpm: number, toRpm: number): Figure {
  const from = new Float64Array(3);
  const interval = levelInterval(set, (scale) => {
    const [fromX, toX] = [onScale(scale, fromRpm), onScale(scale, toRpm)];
    return (corners, weights) => {
      shapeAt(corners, fromX, from.subarray(0, corners.length));
      shapeAt(corners, toX, weights);
      for (let k = 0; k < corners.length; k++) weights[k]! -= from[k]!;
    };
  });
  return figure(advanceAt(set.best, toRpm) - advanceAt(set.best, fromRpm), interval);
}
