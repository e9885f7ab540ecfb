/** Limits that the person set, watched: figures of a curve in, what lies above a limit out, in sentences with their
 * figures. A figure that is not seen gives no warning. */
import type { EngineFacts } from './engine';
import type { CurveFit, CurvePoint, Figure } from './fit';
import type { Limits, Target } from './job';
import { targetAt } from './target';

/** What is watched, crank degrees; null: not seen. A run, a forecast or an advice can give it. */
export interface Watched {
  readonly totalDeg: Figure | null;
  readonly idleDeg: Figure | null;
  /** Total with the vacuum advance at cruise. */
  readonly cruiseDeg?: Figure | null;
}

export interface LimitWarning {
  readonly limit: 'total' | 'idle' | 'cruise';
  readonly mostDeg: number;
  readonly figure: Figure;
  /** The whole interval lies above the limit. */
  readonly sure: boolean;
  readonly text: string;
}

const NAMES = {
  total: 'the total',
  idle: 'the advance at idle',
  cruise: 'the advance at cruise with vacuum',
} as const;

const deg = (value: number): string => value.toFixed(1);

function warning(
  limit: LimitWarning['limit'],
  mostDeg: number | null,
  figure: Figure | null,
): LimitWarning[] {
  if (mostDeg === null || figure === null || figure.value <= mostDeg) return [];
  const sure = figure.low > mostDeg;
  const name = NAMES[limit];
  const text =
    `${name[0]!.toUpperCase()}${name.slice(1)}, ${deg(figure.value)} degrees (${deg(figure.low)} to ${deg(figure.high)}), ` +
    `lies above your limit of ${deg(mostDeg)}${sure ? '.' : '; the readings leave it open whether it truly does.'}`;
  return [{ limit, mostDeg, figure, sure, text }];
}

/** Where a limit is passed. To be asked of every curve that is shown: measured, foretold or advised.
 * @returns none where nothing is above, or nothing is seen */
export const limitWarnings = (watched: Watched, limits: Limits): LimitWarning[] => [
  ...warning('total', limits.mostTotalDeg, watched.totalDeg),
  ...warning('idle', limits.mostIdleDeg, watched.idleDeg),
  ...warning('cruise', limits.mostCruiseDeg, watched.cruiseDeg ?? null),
];

/** A curve at one speed as a figure; null where it is not seen. */
export function advanceFigure(fit: CurveFit, rpm: number): Figure | null {
  const [value, band] = [fit.predict(rpm), fit.band(rpm)];
  return value === null || band === null ? null : { value, ...band };
}

/** What a fitted curve gives to watch. While the total is not seen, the curve at the highest reading stands for it: the
 * total lies there or above.
 * @param points the readings that were fitted */
export function watchedOf(
  fit: CurveFit,
  points: readonly CurvePoint[],
  { idleRpm }: Pick<EngineFacts, 'idleRpm'>,
): Watched {
  const used = points.filter((_, i) => !fit.setAside.includes(i)).map(({ rpm }) => rpm);
  const highest = used.length > 0 ? advanceFigure(fit, Math.max(...used)) : null;
  return {
    totalDeg: fit.totalDeg ?? highest,
    idleDeg: idleRpm === null ? null : advanceFigure(fit, idleRpm),
  };
}

/** One reading against the limits, as it is taken: null where it lies below them. Above idle only the total counts. */
export function readingWarning(
  point: Pick<CurvePoint, 'rpm' | 'advanceDeg'>,
  limits: Limits,
  { idleRpm }: Pick<EngineFacts, 'idleRpm'>,
): string | null {
  const { mostTotalDeg, mostIdleDeg } = limits;
  const read = `${deg(point.advanceDeg)} degrees at ${Math.round(point.rpm)} rpm`;
  if (mostTotalDeg !== null && point.advanceDeg > mostTotalDeg)
    return `${read} lie above your limit of ${deg(mostTotalDeg)} for the total.`;
  const atIdle = idleRpm !== null && point.rpm <= idleRpm;
  if (atIdle && mostIdleDeg !== null && point.advanceDeg > mostIdleDeg)
    return `${read} lie above your limit of ${deg(mostIdleDeg)} at idle.`;
  return null;
}

/** A target that asks for more than a limit allows, in sentences; none where it doesn't.
 * @throws RangeError if the target has no corners */
export function targetLimitProblems(
  target: Target,
  limits: Limits,
  { idleRpm }: Pick<EngineFacts, 'idleRpm'>,
): string[] {
  targetAt(target, 1);
  const most = Math.max(...target.corners.map(({ advanceDeg }) => advanceDeg));
  const idle = idleRpm === null ? null : targetAt(target, idleRpm);
  const problems: string[] = [];
  if (limits.mostTotalDeg !== null && most > limits.mostTotalDeg)
    problems.push(
      `The target rises to ${deg(most)} degrees, above your limit of ${deg(limits.mostTotalDeg)} for the total.`,
    );
  if (limits.mostIdleDeg !== null && idle !== null && idle > limits.mostIdleDeg)
    problems.push(
      `The target wants ${deg(idle)} degrees at idle, above your limit of ${deg(limits.mostIdleDeg)} there.`,
    );
  return problems;
}
