/** Begins the first five minutes: a job of their own, filled for the practice engine. */
import {
  PRACTICE_ENGINE,
  PRACTICE_JOB_NAME,
  PRACTICE_STEPS,
  PRACTICE_TARGET,
} from '../../core/practice/practice-job';
import type { AppState } from '../state/contracts';

/** Settles when the job is open and the guide is on. */
export async function beginGuide({ job, preferences }: Pick<AppState, 'job' | 'preferences'>): Promise<void> {
  await job.newJob(PRACTICE_JOB_NAME);
  if (!job.job) return;
  job.changeEngine(PRACTICE_ENGINE);
  job.change({ target: PRACTICE_TARGET, steps: PRACTICE_STEPS });
  preferences.guide = { jobId: job.job.id, isOn: true, seen: [] };
}
