/** A job as the records it is stored in, and the changes made to them. The same change goes to the records in memory and
 * to those in the store, so that both always say the same. Pure functions on plain data. */
import type { Job, Reading, Run } from '../../core/job';
import type { JobRecord, ReadingRecord, RunRecord, UndoRecord } from './database';

/** One job in memory, as its records. */
export interface JobBook {
  readonly job: JobRecord;
  /** In their order; those taken away are among them. */
  readonly runs: readonly RunRecord[];
  /** Of each run by its id, in their order. */
  readonly readings: ReadonlyMap<string, readonly ReadingRecord[]>;
  /** Oldest first. */
  readonly undo: readonly UndoRecord[];
}

/** What happens to one record. */
export type Op =
  | { readonly put: 'jobs'; readonly value: JobRecord }
  | { readonly put: 'runs'; readonly value: RunRecord }
  | { readonly put: 'readings'; readonly value: ReadingRecord }
  | { readonly put: 'undo'; readonly value: UndoRecord }
  | { readonly drop: 'readings'; readonly value: ReadingRecord }
  | { readonly drop: 'undo'; readonly value: UndoRecord };

/** The book after the changes; the one given stays as it was. */
export const applied = (book: JobBook, ops: readonly Op[]): JobBook => ops.reduce(appliedOne, book);

function appliedOne(book: JobBook, op: Op): JobBook {
  if ('drop' in op)
    return op.drop === 'undo'
      ? { ...book, undo: book.undo.filter(({ order }) => order !== op.value.order) }
      : withReadings(book, op.value.runId, (list) => list.filter(({ id }) => id !== op.value.id));
  switch (op.put) {
    case 'jobs':
      return { ...book, job: op.value };
    case 'runs':
      return { ...book, runs: placed(book.runs, op.value, ({ id }) => id === op.value.id) };
    case 'readings':
      return withReadings(book, op.value.runId, (list) =>
        placed(list, op.value, ({ id }) => id === op.value.id),
      );
    case 'undo':
      return { ...book, undo: placed(book.undo, op.value, ({ order }) => order === op.value.order) };
  }
}

/** Puts a record in the place of the same one, or in at its order. */
function placed<R extends { readonly order: number }>(
  list: readonly R[],
  record: R,
  same: (other: R) => boolean,
): R[] {
  return [...list.filter((other) => !same(other)), record].sort((a, b) => a.order - b.order);
}

function withReadings(
  book: JobBook,
  runId: string,
  change: (list: readonly ReadingRecord[]) => readonly ReadingRecord[],
): JobBook {
  return { ...book, readings: new Map(book.readings).set(runId, change(readingsOf(book, runId))) };
}

const NONE: readonly ReadingRecord[] = [];
export const readingsOf = (book: JobBook, runId: string): readonly ReadingRecord[] =>
  book.readings.get(runId) ?? NONE;

export const runById = (book: JobBook, id: string | null): RunRecord | null =>
  book.runs.find((run) => run.id === id && !run.removed) ?? null;

export function readingById(book: JobBook, id: string): ReadingRecord | null {
  for (const list of book.readings.values()) {
    const found = list.find((record) => record.id === id);
    if (found) return found;
  }
  return null;
}

/** One more than the highest order; 1 for the first. Clocks are set back; this only grows. */
export const nextOrder = (list: readonly { readonly order: number }[]): number =>
  list.reduce((highest, { order }) => Math.max(highest, order), 0) + 1;

const assembled = new WeakMap<RunRecord, { readonly from: readonly ReadingRecord[]; readonly run: Run }>();

/** A run with its readings. The same records give the same object, so that what has not changed is not drawn again. */
export function runOf(book: JobBook, record: RunRecord): Run {
  const from = readingsOf(book, record.id);
  const known = assembled.get(record);
  if (known?.from === from) return known.run;
  const run: Run = { ...record.head, readings: from.map(({ reading }) => reading), trace: null };
  assembled.set(record, { from, run });
  return run;
}

/** The job as one piece, traces apart. */
export const jobOf = (book: JobBook): Job => ({
  ...book.job.head,
  runs: book.runs.filter(({ removed }) => !removed).map((record) => runOf(book, record)),
});

/** The records of a job that came as one piece. Its runs are ended.
 * @param order of the job among all jobs */
export function bookOf(job: Job, changedAt: string, order: number): JobBook {
  const { runs, ...head } = job;
  return {
    job: { id: job.id, head, changedAt, order },
    runs: runs.map((run, i) => runRecord(job.id, run, i + 1)),
    readings: new Map(
      runs.map((run) => [run.id, run.readings.map((each, i) => record(run.id, each, i + 1))]),
    ),
    undo: [],
  };
}

function runRecord(jobId: string, run: Run, order: number): RunRecord {
  const { readings, trace, ...head } = run; // those two have records of their own
  void [readings, trace];
  return { id: run.id, jobId, head, order, ended: true, keepSound: false, removed: false };
}

/** A whole job as changes that put it in. */
export const opsOf = (book: JobBook): Op[] => [
  { put: 'jobs', value: book.job },
  ...book.runs.map((value): Op => ({ put: 'runs', value })),
  ...[...book.readings.values()].flat().map((value): Op => ({ put: 'readings', value })),
  ...book.undo.map((value): Op => ({ put: 'undo', value })),
];

const record = (runId: string, reading: Reading, order: number): ReadingRecord => ({
  id: reading.id,
  runId,
  reading,
  order,
});
