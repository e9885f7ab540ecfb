/** What a forecast starts from: the text of a CSV or a job file in, runs as the mechanism's fit takes them out. */
import { BadInput, BadUsage } from './cli-command';
import { CsvError } from '../files/csv';
import { readReadings } from '../files/csv-readings';
import { parseJob } from '../files/job-file';
import { jobRuns, jobRunOf } from '../forecast/job-runs';
import type { FittedRun } from '../forecast/likelihood';
import type { Job, Run } from '../job';

/** The readings that a forecast rests on. */
export interface Source {
  readonly runs: readonly FittedRun[];
  /** The run started from: its place among them. */
  readonly run: number;
  /** The runs' ids in the job, in their order; null for a table. */
  readonly runIds: readonly string[] | null;
  /** Plain sentences. */
  readonly notes: readonly string[];
}

const PARTS = { firstSpring: 'first', secondSpring: 'second', stop: 'stop' } as const;

const isJob = (text: string): boolean => /^\uFEFF?\s*\{/.test(text);

/** @param run the job's run that is asked for; null: the latest with readings
 *  @throws BadInput, BadUsage */
export function sourceOf(file: string, text: string, run: string | null): Source {
  if (isJob(text)) return jobSource(file, text, run);
  if (run !== null)
    throw new BadUsage(`forecast: --run goes with a job file; ${file} holds one table of readings`);
  try {
    const points = readReadings(text).map(({ rpm, advanceDeg, rpmSd }) => ({ rpm, advanceDeg, rpmSd }));
    return { runs: [{ points, parts: PARTS, zeroSdDeg: null }], run: 0, runIds: null, notes: [] };
  } catch (error) {
    throw error instanceof CsvError ? new BadInput(`${file}: ${error.message}`) : error;
  }
}

function jobSource(file: string, text: string, wanted: string | null): Source {
  const parsed = parseJob(text);
  if ('problem' in parsed) throw new BadInput(`${file}: ${parsed.problem}`);
  const { job } = parsed;
  const run = runOf(file, job, wanted);
  const together = jobRuns(job, run.id);
  const place = together.findIndex(({ run: { id } }) => id === run.id);
  const alone = jobRunOf(run, job.setUps);
  if (place < 0) return { runs: [alone], run: 0, runIds: [run.id], notes: vacuumNotes(alone.setUp) };
  const runIds = together.map(({ run: { id } }) => id);
  return { runs: together, run: place, runIds, notes: togetherNotes(runIds.length) };
}

const vacuumNotes = (setUp: Job['setUps'][number] | null): string[] =>
  setUp?.vacuumLine === 'connected'
    ? [
        'The vacuum line was connected in this run: its readings hold vacuum advance, which is no part of the mechanism.',
      ]
    : [];

const togetherNotes = (count: number): string[] =>
  count === 1
    ? []
    : [`${count} runs are fitted together: the weights are the same in all, parts in those that had them.`];

/** The run asked for; the latest with readings where none is.
 * @throws BadInput if there is none */
function runOf(file: string, { runs }: Job, wanted: string | null): Run {
  const withReadings = runs.filter(({ readings }) => readings.length > 0);
  if (withReadings.length === 0) throw new BadInput(`${file}: has no run with readings`);
  if (wanted === null) return withReadings.reduce((a, b) => (b.startedAt >= a.startedAt ? b : a));
  const run = runs.find(({ id }) => id === wanted);
  if (run) return run;
  const ids = withReadings.map(({ id }) => id);
  const listed = ids.length > 5 ? `${ids.slice(0, 5).join(', ')} and ${ids.length - 5} more` : ids.join(', ');
  throw new BadInput(`${file}: has no run "${wanted}"; its runs with readings are ${listed}`);
}
