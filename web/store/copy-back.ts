/** Jobs put back from their copies where the browser has thrown its store away, and copies made of those that have none. */
import type { Database } from './database';
import type { JournalEntry } from './journal-api';
import { opsOf, type JobBook, type Op } from './job-records';
import { loadJob, writeOps } from './job-store';
import { appendTrace, type TraceRowsToKeep } from './trace-store';

/** What is asked of the thread that has the files. */
export interface Copies {
  copiedJobs(): Promise<readonly string[]>;
  jobCopy(jobId: string): Promise<readonly string[]>;
  traceCopy(runId: string): Promise<TraceRowsToKeep | null>;
  writeCopy(jobId: string, whole: string): Promise<void>;
}

/** A whole job as one line. */
export const wholeOf = (book: JobBook): string =>
  JSON.stringify({ isNewJob: true, ops: opsOf(book) } satisfies JournalEntry);

/** @returns how many jobs the store did not have and has now
 *  @throws what the store refused */
export async function bringBack(db: Database, copies: Copies): Promise<number> {
  const known = new Set(await db.getAllKeys('jobs'));
  let count = 0;
  for (const jobId of await copies.copiedJobs()) {
    if (known.has(jobId)) continue;
    const ops = (await copies.jobCopy(jobId)).flatMap(opsIn);
    if (ops.length === 0) continue;
    await writeOps(db, ops);
    for (const runId of runsOf(ops)) await bringTraceBack(runId, copies);
    count++;
  }
  return count;
}

/** A line that cannot be read is passed over: what comes after it still counts. */
function opsIn(line: string): readonly Op[] {
  try {
    return (JSON.parse(line) as JournalEntry).ops;
  } catch {
    return [];
  }
}

const runsOf = (ops: readonly Op[]): ReadonlySet<string> =>
  new Set(ops.flatMap((op) => ('put' in op && op.put === 'runs' ? [op.value.id] : [])));

async function bringTraceBack(runId: string, copies: Copies): Promise<void> {
  const rows = await copies.traceCopy(runId);
  if (rows && rows.timeS.length > 0) await appendTrace(runId, rows);
}

/** Copies the jobs that have none yet: those not opened since copies are made. */
export async function copyRest(db: Database, copies: Copies): Promise<void> {
  const copied = new Set(await copies.copiedJobs());
  for (const jobId of await db.getAllKeys('jobs')) {
    const book = copied.has(jobId) ? null : await loadJob(db, jobId);
    if (book) await copies.writeCopy(jobId, wholeOf(book));
  }
}
