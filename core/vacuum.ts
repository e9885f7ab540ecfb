/** Vacuum advance: readings of degrees against vacuum in; where it starts, where it is full and how much it adds, with
 * 95 % intervals, out; and the total at cruise against the limit that was set. Vacuum is in kilopascals below the air. */
import { type CurveFit, type Figure, fitCurve } from './fit';
import type { Corrections, VacuumReading } from './job';
import { advanceOf } from './reading';

export type VacuumUnit = 'inHg' | 'kPa' | 'mbar';

/** Kilopascals in one of each.
 * @source NIST SP 811, appendix B.8: conventional inch of mercury 3.386389 kPa (from memory); the bar is 100 kPa */
export const KPA_PER: Readonly<Record<VacuumUnit, number>> = { inHg: 3.386389, kPa: 1, mbar: 0.1 };

/** null: the readings don't show it. */
export interface VacuumFit {
  readonly n: number;
  /** What is read before the can pulls. */
  readonly baseDeg: Figure | null;
  readonly startKpa: Figure | null;
  readonly fullKpa: Figure | null;
  /** What it adds when full, crank degrees. */
  readonly rangeDeg: Figure | null;
  readonly residualSdDeg: number | null;
  /** Positions, from 0, of readings judged slips. */
  readonly setAside: readonly number[];
  /** What a vacuum adds over none; null where either is not seen. */
  readonly added: (vacuumKpa: number) => Figure | null;
  readonly predict: (vacuumKpa: number) => number | null;
  readonly band: (vacuumKpa: number) => { readonly low: number; readonly high: number } | null;
}

export interface VacuumPoint {
  readonly vacuumKpa: number;
  readonly advanceDeg: number;
}

/** The fit of a curve takes speeds: level, ramp, level is the same shape here. Vacuums go on its scale so that what
 * counts there as one step, 40 rpm or 2 %, is 1 to 2 kPa, as near as a gauge is read. */
const [ZERO_AT, PER_KPA] = [1000, 40];
const onScale = (vacuumKpa: number): number => ZERO_AT + PER_KPA * vacuumKpa;
const offScale = (figure: Figure | null): Figure | null =>
  figure && {
    value: (figure.value - ZERO_AT) / PER_KPA,
    low: Math.max(0, (figure.low - ZERO_AT) / PER_KPA),
    high: (figure.high - ZERO_AT) / PER_KPA,
  };

/** Fits level, ramp, level to readings at one speed held.
 * @param points any order and number
 * @throws RangeError if a vacuum is below 0 or a number is not finite */
export function fitVacuum(points: readonly VacuumPoint[]): VacuumFit {
  for (const { vacuumKpa } of points)
    if (!(vacuumKpa >= 0)) throw new RangeError(`wanted a vacuum of 0 kPa or more, got ${vacuumKpa}`);
  const fit = fitCurve(points.map(({ vacuumKpa, advanceDeg }) => ({ rpm: onScale(vacuumKpa), advanceDeg })));
  return {
    n: fit.n,
    baseDeg: fit.initialDeg,
    startKpa: offScale(fit.startRpm),
    fullKpa: offScale(fit.allInRpm),
    rangeDeg: fit.rangeDeg,
    residualSdDeg: fit.residualSdDeg,
    setAside: fit.setAside,
    added: (vacuumKpa) => fit.rise(onScale(0), onScale(vacuumKpa)),
    predict: (vacuumKpa) => fit.predict(onScale(vacuumKpa)),
    band: (vacuumKpa) => fit.band(onScale(vacuumKpa)),
  };
}

/** Speeds that differ by more than this share are not one speed held. */
const ONE_SPEED = 0.03;

export interface VacuumPoints {
  readonly points: readonly VacuumPoint[];
  /** true: what the centrifugal curve gives at each reading's own speed was taken off, so that base lies near 0. */
  readonly isOverCurve: boolean;
  /** true: speeds differ and the curve is not seen at all of them, so that centrifugal advance may be mixed in. */
  readonly isMixed: boolean;
}

/** Readings for the fit. Where their speeds differ the centrifugal advance differs with them and is taken off.
 * @param curve the same engine's centrifugal curve; null where none is seen */
export function vacuumPoints(
  readings: readonly VacuumReading[],
  corrections: Corrections,
  curve: Pick<CurveFit, 'predict'> | null,
): VacuumPoints {
  const seen = readings.map(({ vacuumKpa, seenDeg, rpm }) => ({
    vacuumKpa,
    advanceDeg: advanceOf({ rpm: rpm ?? 0, seenDeg }, corrections),
    centrifugalDeg: rpm === null ? null : (curve?.predict(rpm) ?? null),
  }));
  const speeds = readings.map(({ rpm }) => rpm).filter((rpm) => rpm !== null);
  const differ = speeds.length > 1 && Math.max(...speeds) > (1 + ONE_SPEED) * Math.min(...speeds);
  const isOverCurve = differ && seen.every(({ centrifugalDeg }) => centrifugalDeg !== null);
  const points = seen.map(({ vacuumKpa, advanceDeg, centrifugalDeg }) => ({
    vacuumKpa,
    advanceDeg: isOverCurve ? advanceDeg - centrifugalDeg! : advanceDeg,
  }));
  return { points, isOverCurve, isMixed: differ && !isOverCurve };
}

export interface CruiseTotal {
  readonly centrifugalDeg: Figure | null;
  readonly addedDeg: Figure | null;
  /** Both together; null where either is not seen. */
  readonly totalDeg: Figure | null;
  /** Against the limit; null without a total or a limit. `open`: the interval reaches over it. */
  readonly verdict: 'under' | 'open' | 'over' | null;
  readonly text: string;
}

/** Centrifugal advance at a cruising speed and vacuum advance together.
 * @param vacuumKpa null: as much as the can gives
 * @param limitDeg null: none is set
 * @source The two add: the can turns the plate on which the weights' advance already stands. Independent errors add by
 * their squares. */
export function cruiseTotal(
  curve: Pick<CurveFit, 'predict' | 'band'> | null,
  vacuum: VacuumFit,
  { rpm, vacuumKpa, limitDeg }: { rpm: number; vacuumKpa: number | null; limitDeg: number | null },
): CruiseTotal {
  const [value, band] = [curve?.predict(rpm) ?? null, curve?.band(rpm) ?? null];
  const centrifugalDeg = value === null || band === null ? null : { value, ...band };
  const addedDeg = vacuumKpa === null ? vacuum.rangeDeg : vacuum.added(vacuumKpa);
  const totalDeg = centrifugalDeg && addedDeg && sumOf(centrifugalDeg, addedDeg);
  const verdict = totalDeg && limitDeg !== null ? verdictOf(totalDeg, limitDeg) : null;
  const told = { centrifugalDeg, addedDeg, totalDeg, verdict };
  return { ...told, text: cruiseText(told, rpm, limitDeg) };
}

const sumOf = (a: Figure, b: Figure): Figure => {
  const value = a.value + b.value;
  return {
    value,
    low: value - Math.hypot(a.value - a.low, b.value - b.low),
    high: value + Math.hypot(a.high - a.value, b.high - b.value),
  };
};

const verdictOf = ({ low, high }: Figure, limitDeg: number): 'under' | 'open' | 'over' =>
  low > limitDeg ? 'over' : high > limitDeg ? 'open' : 'under';

const deg = (value: number): string => `${value.toFixed(1)}°`;
const whole = ({ value, low, high }: Figure): string =>
  `${deg(value)} (${low.toFixed(1)} to ${high.toFixed(1)})`;

function cruiseText(told: Omit<CruiseTotal, 'text'>, rpm: number, limitDeg: number | null): string {
  const { centrifugalDeg, addedDeg, totalDeg, verdict } = told;
  const at = `${Math.round(rpm)} rpm`;
  if (centrifugalDeg === null)
    return `The total at cruise is not seen: the centrifugal curve is not seen at ${at}.`;
  if (addedDeg === null || totalDeg === null)
    return 'The total at cruise is not seen: the readings do not show how much the vacuum adds.';
  const sum = `At ${at}: ${deg(centrifugalDeg.value)} by weights and ${deg(addedDeg.value)} by vacuum make ${whole(totalDeg)}.`;
  if (limitDeg === null || verdict === null) return `${sum} No limit is set to hold it against.`;
  const limit = `the limit of ${deg(limitDeg)}`;
  if (verdict === 'over')
    return `${sum} That is over ${limit}: less vacuum advance is wanted before it is driven.`;
  if (verdict === 'open') return `${sum} It may be over ${limit}: the readings leave it open.`;
  return `${sum} That is under ${limit}.`;
}
