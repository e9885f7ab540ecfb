/** What beginning and ending a run do to a job's records. A book in, record changes out. */
import type { Run } from '../../core/job';
import { NOTHING_NOTED } from '../../core/new-job';
import type { RunRecord } from '../store/database';
import { nextOrder, runById, type JobBook, type Op } from '../store/job-records';

/** A new run with the job's corrections. */
export function openRun(
  book: JobBook,
  facts: Pick<Run, 'id' | 'setUpId' | 'startedAt' | 'source'>,
  keepSound: boolean,
): Op[] {
  const value: RunRecord = {
    id: facts.id,
    jobId: book.job.id,
    head: { ...facts, corrections: book.job.head.corrections, ...NOTHING_NOTED },
    order: nextOrder(book.runs),
    ended: false,
    keepSound,
    removed: false,
  };
  return [{ put: 'runs', value }];
}

export function closeRun(book: JobBook, id: string): Op[] {
  const run = runById(book, id);
  return run && !run.ended ? [{ put: 'runs', value: { ...run, ended: true } }] : [];
}

/** The run that nobody ended, as after a crash; null where every one was. */
export const stillOpen = (book: JobBook): RunRecord | null =>
  book.runs.findLast((run) => !run.ended && !run.removed) ?? null;

/** "Run of 14:05 was still open; it goes on.", with the day where it is not today's. */
export function stillOpenWords(startedAt: string, now: string): string {
  const at = new Date(startedAt);
  const time = `${at.getHours()}`.padStart(2, '0') + ':' + `${at.getMinutes()}`.padStart(2, '0');
  const sameDay = at.toDateString() === new Date(now).toDateString();
  const day = sameDay ? '' : ` on ${at.toLocaleDateString(undefined, { day: 'numeric', month: 'long' })}`;
  return `Run of ${time}${day} was still open; it goes on.`;
}
