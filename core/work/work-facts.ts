/** What every step of the order of work looks at: a job, a run and its fit in; measured figures and what is wanted of
 * them out. */
import type { EngineFacts } from '../engine';
import type { CurveFit, Figure } from '../fit';
import type { Job, Knock, Limits, Target } from '../job';
import { knocksOf } from '../knock-guard';
import { advanceFigure } from '../limits';
import { targetAt } from '../target';

export interface WorkFacts {
  readonly fit: CurveFit;
  readonly target: Target;
  readonly engine: EngineFacts;
  readonly limits: Limits;
  readonly knocks: readonly Knock[];
  /** What is aimed at: the target, no higher than the limits. Crank degrees. */
  readonly wanted: { readonly totalDeg: number; readonly initialDeg: number; readonly rangeDeg: number };
  /** The curve at idle; null where it is not seen or idle is not said. */
  readonly idleDeg: Figure | null;
}

const atMost = (value: number, limit: number | null): number =>
  limit === null ? value : Math.min(value, limit);

/** @throws RangeError if the target has no corners */
export function workFacts(
  job: Pick<Job, 'engine' | 'limits' | 'runs'> & { readonly target: Target },
  fit: CurveFit,
): WorkFacts {
  const { target, engine, limits } = job;
  const totalDeg = atMost(targetAt(target, Infinity), limits.mostTotalDeg);
  const initialDeg = Math.min(totalDeg, atMost(targetAt(target, 0), limits.mostIdleDeg));
  return {
    ...{ fit, target, engine, limits, knocks: knocksOf(job) },
    wanted: { totalDeg, initialDeg, rangeDeg: totalDeg - initialDeg },
    idleDeg: engine.idleRpm === null ? null : advanceFigure(fit, engine.idleRpm),
  };
}
