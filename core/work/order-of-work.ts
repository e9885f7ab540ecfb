/** The order of work for this engine: a job and its latest run in; five steps with figures out, each ticked by what
 * readings show and by nothing else.
 * @source Common practice: set the total at the all-in speed and lock the housing, see idle; a wrong initial is cured
 * by the stop, a wrong rate by the springs; then run again */
import type { CurveFit } from '../fit';
import type { Job, Run } from '../job';
import { type LimitWarning, limitWarnings, targetLimitProblems, watchedOf } from '../limits';
import { curvePoints } from '../reading';
import { targetProblems } from '../target';
import { withZeroError } from '../tdc/zero-error';
import { runsInOrder, setUpOf } from '../timeline';
import { springsStep } from './step-springs';
import { stopStep } from './step-stop';
import { idleStep, totalStep } from './step-total';
import { verifyStep } from './step-verify';
import { workFacts } from './work-facts';
import type { WorkStep } from './work-step';

export interface OrderOfWork {
  /** The run whose readings tick the steps. */
  readonly runId: string;
  readonly steps: readonly WorkStep[];
  /** The first step that is not done; null when all are. */
  readonly next: WorkStep['key'] | null;
  /** What this run passes of the limits. */
  readonly warnings: readonly LimitWarning[];
  /** Where the target itself asks for more than the limits allow. */
  readonly targetAbove: readonly string[];
}

/** The run that tells where the work stands: the latest with readings, the vacuum line not connected; null where there
 * is none. */
export const workRun = (job: Pick<Job, 'runs' | 'setUps'>): Run | null =>
  runsInOrder(job).findLast(
    (run) => run.readings.length > 0 && setUpOf(job, run)?.vacuumLine !== 'connected',
  ) ?? null;

/** @param fit of that run's readings as they stand; the tape's own uncertainty is added here
 * @returns null where there is no target, or not a good one */
export function orderOfWork(
  job: Pick<Job, 'engine' | 'limits' | 'runs' | 'target'>,
  run: Run,
  fit: CurveFit,
): OrderOfWork | null {
  const { target } = job;
  if (target === null || targetProblems(target).length > 0) return null;
  const whole = withZeroError(fit, run.corrections);
  const facts = workFacts({ ...job, target }, whole);
  const steps = [
    totalStep(facts),
    idleStep(facts),
    stopStep(facts),
    springsStep(facts),
    verifyStep(facts, run),
  ];
  return {
    runId: run.id,
    steps,
    next: steps.find(({ state }) => state !== 'done')?.key ?? null,
    warnings: limitWarnings(watchedOf(whole, curvePoints(run), job.engine), job.limits),
    targetAbove: targetLimitProblems(target, job.limits, job.engine),
  };
}
