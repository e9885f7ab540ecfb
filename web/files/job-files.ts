/** A job file to a job that fits in beside those here. */
import type { Job, Reading } from '../../core/job';
import { openDatabase, type TraceRecord } from '../store/database';
import { withTexts } from './text-thread';
import { fromColumns } from './trace-columns';

export interface ImportedJob {
  readonly job: Job;
  readonly traces: readonly TraceRecord[];
  /** The same job, or a part of it, was here already: this one has ids of its own. */
  readonly isCopy: boolean;
}

/** Reads a job file. Nothing is stored by this.
 * @returns the job, or what is wrong as a sentence */
export async function importJob(file: File, newId: () => string): Promise<ImportedJob | { problem: string }> {
  const parsed = await reading(file, () => withTexts((texts) => texts.readJob(file)));
  if ('problem' in parsed) return { problem: `${file.name} ${parsed.problem}. Nothing was changed.` };
  return besideThoseHere(parsed.job, newId);
}

/** A job made to fit in beside those in the store: with ids of its own where one of its is taken. */
export async function besideThoseHere(given: Job, newId: () => string): Promise<ImportedJob> {
  const isCopy = await clashes(given);
  const job = isCopy ? withNewIds(given, newId) : given;
  const traces = job.runs.flatMap(({ id, trace }) => (trace ? [{ runId: id, ...fromColumns(trace) }] : []));
  return { job, traces, isCopy };
}

/** @throws Error, in a sentence, if the file cannot be read: it was moved, or its drive is gone */
export async function reading<T>(file: File, read: () => Promise<T>): Promise<T> {
  try {
    return await read();
  } catch (error) {
    throw new Error(`${file.name} could not be read; choose it again.`, { cause: error });
  }
}

const idsOf = (job: Job) =>
  [
    ['jobs', [job.id]],
    ['runs', job.runs.map(({ id }) => id)],
    ['readings', job.runs.flatMap(({ readings }) => readings.map(({ id }) => id))],
  ] as const;

/** Whether an id of this job is taken in the store, or twice in the job itself. */
async function clashes(job: Job): Promise<boolean> {
  const db = await openDatabase();
  for (const [store, ids] of idsOf(job)) {
    if (new Set(ids).size < ids.length) return true;
    for (const id of ids) if ((await db.getKey(store, id)) !== undefined) return true;
  }
  return false;
}

function withNewIds(job: Job, newId: () => string): Job {
  const reading = (each: Reading): Reading => ({ ...each, id: newId() });
  const runs = job.runs.map((run) => ({ ...run, id: newId(), readings: run.readings.map(reading) }));
  return { ...job, id: newId(), runs };
}
