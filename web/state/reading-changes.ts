/** What adding, changing, deleting and taking back do to a job's records, each with the step that undoes it. A book and
 * a wish in, record changes out; nothing is done here. */
import type { Reading } from '../../core/job';
import type { ReadingRecord, RunRecord, UndoRecord, UndoStep } from '../store/database';
import { nextOrder, readingById, readingsOf, runById, type JobBook, type Op } from '../store/job-records';

/** As many changes can be taken back, one after the other. */
export const UNDO_STEPS = 500;

/** @throws RangeError if the job has no such run */
export function addReading(book: JobBook, runId: string, reading: Reading): Op[] {
  if (!runById(book, runId)) throw new RangeError(`a run of this job was wanted, got ${runId}`);
  const order = nextOrder(readingsOf(book, runId));
  const value: ReadingRecord = { id: reading.id, runId, reading, order };
  return [
    { put: 'readings', value },
    ...undoable(book, { kind: 'reading', id: reading.id, runId, before: null }),
  ];
}

/** No change for a reading that is not there or stays as it is. */
export function changeReading(book: JobBook, id: string, patch: Partial<Reading>): Op[] {
  const before = readingById(book, id);
  if (!before) return [];
  const reading = { ...before.reading, ...patch, id };
  if (JSON.stringify(reading) === JSON.stringify(before.reading)) return [];
  return [
    { put: 'readings', value: { ...before, reading } },
    ...undoable(book, { kind: 'reading', id, runId: before.runId, before }),
  ];
}

export function removeReading(book: JobBook, id: string): Op[] {
  const before = readingById(book, id);
  if (!before) return [];
  return [
    { drop: 'readings', value: before },
    ...undoable(book, { kind: 'reading', id, runId: before.runId, before }),
  ];
}

/** Takes a run away; it can be brought back until the job is next opened. */
export function removeRun(book: JobBook, id: string): Op[] {
  const before = runById(book, id);
  if (!before) return [];
  const value: RunRecord = { ...before, ended: true, removed: true };
  return [{ put: 'runs', value }, ...undoable(book, { kind: 'run', before: { ...before, ended: true } })];
}

/** Takes the last change back; no change where there is none. */
export function takeBack(book: JobBook): Op[] {
  const last = book.undo.at(-1);
  return last ? [...undone(book, last.step), { drop: 'undo', value: last }] : [];
}

function undone(book: JobBook, step: UndoStep): Op[] {
  if (step.kind === 'run') return [{ put: 'runs', value: step.before }];
  if (step.before) return [{ put: 'readings', value: step.before }];
  const now = readingById(book, step.id);
  return now ? [{ drop: 'readings', value: now }] : [];
}

/** The step put on the list, the oldest dropped where the list is full. */
function undoable({ job, undo }: JobBook, step: UndoStep): Op[] {
  const value: UndoRecord = { jobId: job.id, order: nextOrder(undo), step };
  const oldest = undo.length >= UNDO_STEPS ? undo[0] : undefined;
  return [{ put: 'undo', value }, ...(oldest ? [{ drop: 'undo', value: oldest } as const] : [])];
}
