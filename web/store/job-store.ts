/** Jobs in the store: lists, reads and changes their records. A change is one transaction: all of it or nothing. */
import {
  allOrNothing,
  type Database,
  type JobRecord,
  type ReadingRecord,
  type RunRecord,
  type TraceRecord,
} from './database';
import type { JobBook, Op } from './job-records';

/** All jobs, the one changed last first. */
export async function listJobs(db: Database): Promise<JobRecord[]> {
  return (await db.getAll('jobs')).sort((a, b) => b.order - a.order);
}

/** One job as it stands in the store; null where there is none. */
export async function loadJob(db: Database, id: string): Promise<JobBook | null> {
  const tx = db.transaction(['jobs', 'runs', 'readings', 'undo']);
  const job = await tx.objectStore('jobs').get(id);
  if (!job) return null;
  const runs = byOrder(await tx.objectStore('runs').index('jobId').getAll(id));
  const lists = await Promise.all(
    runs.map((run) => tx.objectStore('readings').index('runId').getAll(run.id)),
  );
  const undo = byOrder(await tx.objectStore('undo').getAll(undoOf(id)));
  await tx.done;
  return { job, runs, readings: new Map(runs.map((run, i) => [run.id, byOrder(lists[i]!)])), undo };
}

const byOrder = <R extends { readonly order: number }>(list: R[]): R[] =>
  list.sort((a, b) => a.order - b.order);
const undoOf = (jobId: string): IDBKeyRange => IDBKeyRange.bound([jobId, -Infinity], [jobId, Infinity]);

/** Writes changes in one transaction; settles when they are on the disk. */
export async function writeOps(db: Database, ops: readonly Op[]): Promise<void> {
  const names = [...new Set(ops.map((op) => ('put' in op ? op.put : op.drop)))];
  const tx = db.transaction(names, 'readwrite', { durability: 'strict' });
  const ask = (op: Op): Promise<unknown> => {
    if ('put' in op) return tx.objectStore(op.put).put(op.value);
    return op.drop === 'undo'
      ? tx.objectStore('undo').delete([op.value.jobId, op.value.order])
      : tx.objectStore('readings').delete(op.value.id);
  };
  await allOrNothing(
    tx,
    ops.map((op) => () => ask(op)),
  );
}

/** Puts a whole job in, traces with it, in one transaction.
 * @param traces by run; none for a run without one */
export async function writeBook(
  db: Database,
  book: JobBook,
  traces: readonly TraceRecord[] = [],
): Promise<void> {
  const tx = db.transaction(['jobs', 'runs', 'readings', 'undo', 'trace'], 'readwrite', {
    durability: 'strict',
  });
  const readings: ReadingRecord[] = [...book.readings.values()].flat();
  await allOrNothing(tx, [
    () => tx.objectStore('jobs').put(book.job),
    ...book.runs.map((run) => () => tx.objectStore('runs').put(run)),
    ...readings.map((reading) => () => tx.objectStore('readings').put(reading)),
    ...book.undo.map((undo) => () => tx.objectStore('undo').put(undo)),
    ...traces.map((trace) => () => tx.objectStore('trace').add(trace)),
  ]);
}

const OF_RUN = ['readings', 'trace', 'sound'] as const;

/** Takes a job out for good, with all that belongs to its runs. @returns ids of those */
export async function eraseJob(db: Database, id: string): Promise<readonly string[]> {
  const runs = await db.getAllKeysFromIndex('runs', 'jobId', id);
  for (const runId of runs) await eraseRun(db, runId);
  const tx = db.transaction(['jobs', 'undo'], 'readwrite');
  await allOrNothing(tx, [
    () => tx.objectStore('jobs').delete(id),
    () => tx.objectStore('undo').delete(undoOf(id)),
  ]);
  return runs;
}

/** Takes out for good the runs of a job that were taken away by hand, and the steps that could bring them back. */
export async function eraseRemoved(db: Database, book: JobBook): Promise<JobBook> {
  const gone = book.runs.filter(({ removed }) => removed);
  if (gone.length === 0) return book;
  for (const run of gone) await eraseRun(db, run.id);
  const lost = book.undo.filter(({ step }) => gone.some((run) => belongsTo(step, run)));
  if (lost.length > 0)
    await writeOps(
      db,
      lost.map((value) => ({ drop: 'undo', value })),
    );
  return {
    ...book,
    runs: book.runs.filter(({ removed }) => !removed),
    undo: book.undo.filter((each) => !lost.includes(each)),
  };
}

const belongsTo = (step: JobBook['undo'][number]['step'], run: RunRecord): boolean =>
  step.kind === 'run' ? step.before.id === run.id : step.runId === run.id;

async function eraseRun(db: Database, runId: string): Promise<void> {
  const tx = db.transaction(['runs', ...OF_RUN], 'readwrite');
  for (const name of OF_RUN) {
    let cursor = await tx.objectStore(name).index('runId').openKeyCursor(runId);
    for (; cursor; cursor = await cursor.continue()) await tx.objectStore(name).delete(cursor.primaryKey);
  }
  await tx.objectStore('runs').delete(runId);
  await tx.done;
}
