/** A job of the store as a job file's text, its traces with it. */
import { serialiseJob } from '../../core/files/job-file';
import type { Job, Run } from '../../core/job';
import { readTrace } from '../store/trace-store';
import { toColumns } from './trace-columns';

/** The job file's text, traces read from the store. */
export async function jobFileText(job: Job): Promise<string> {
  const runs: Run[] = [];
  for (const run of job.runs) runs.push({ ...run, trace: toColumns(await readTrace(run.id)) });
  return serialiseJob({ ...job, runs });
}
