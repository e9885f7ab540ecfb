/** Changes written ahead come back into the store: once, in order, never over later ones. */
import { beforeEach, expect, test } from 'vitest';
import { openDatabase } from '../../web/store/database';
import { bookOf, opsOf, type Op } from '../../web/store/job-records';
import { loadJob, writeBook } from '../../web/store/job-store';
import { NO_JOURNAL, type Journal, type JournalEntry } from '../../web/store/journal-api';
import { putBack } from '../../web/store/journal-replay';
import { madeJob } from '../helpers/made-jobs';
import { emptyStore, openDesk } from './job-desk-helpers';

beforeEach(emptyStore);

const job = madeJob();
const book = bookOf(job, '2026-10-14T17:05:00.000Z', 5);
const runId = job.runs[0]!.id;

/** A change that adds a reading and brings the job to an order. */
function added(id: string, order: number): JournalEntry {
  const reading = { ...job.runs[0]!.readings[0]!, id };
  const ops: Op[] = [
    { put: 'readings', value: { id, runId, reading, order: 100 + order } },
    { put: 'jobs', value: { ...book.job, order } },
  ];
  return { isNewJob: false, ops };
}

const lastIds = async (count: number): Promise<string[]> =>
  (await loadJob(await openDatabase(), job.id))!.readings
    .get(runId)!
    .slice(-count)
    .map(({ id }) => id);

test('what the store does not have comes back, in the order in which it was done', async () => {
  const db = await openDatabase();
  await writeBook(db, book);
  await putBack(db, [added('second', 7), added('first', 6)]);
  expect(await lastIds(2)).toEqual(['first', 'second']);
  expect((await loadJob(db, job.id))!.job.order).toBe(7);
});

test('what the store has, or has later, is left as it is', async () => {
  const db = await openDatabase();
  await writeBook(db, { ...book, job: { ...book.job, order: 9 } });
  const before = await loadJob(db, job.id);
  await putBack(db, [added('late', 8), added('same', 9)]);
  expect(await loadJob(db, job.id)).toEqual(before);
});

test('a job that was taken out stays out; a new one that never got in comes whole', async () => {
  const db = await openDatabase();
  await putBack(db, [added('gone', 6)]);
  expect(await loadJob(db, job.id)).toBeNull();
  await putBack(db, [{ isNewJob: true, ops: opsOf(book) }, added('after', 6)]);
  expect(await lastIds(1)).toEqual(['after']);
  expect((await loadJob(db, job.id))!.runs).toHaveLength(job.runs.length);
});

test('an entry without its job is passed over', async () => {
  await putBack(await openDatabase(), [{ isNewJob: true, ops: [] }]);
  expect(await (await openDatabase()).count('jobs')).toBe(0);
});

test('each change is written ahead before the store has it, and forgotten after', async () => {
  const seen: string[] = [];
  const journal: Journal = {
    ...NO_JOURNAL,
    add({ ops }) {
      const name = ops.map((op) => ('put' in op ? op.put : `no ${op.drop}`)).join(' ');
      seen.push(`ahead: ${name}`);
      return () => void seen.push(`stored: ${name}`);
    },
  };
  const desk = await openDesk({ openJournal: () => Promise.resolve(journal) });
  await desk.settled();
  seen.length = 0;
  desk.change({ notes: 'a note' });
  expect(seen).toEqual(['ahead: jobs']);
  await desk.settled();
  expect(seen).toEqual(['ahead: jobs', 'stored: jobs']);
});

test('a run that was taken away by hand leaves no copy of its trace once its job is opened again', async () => {
  const db = await openDatabase();
  await writeBook(db, book);
  const gone: string[] = [];
  const journal: Journal = { ...NO_JOURNAL, forgetRuns: (runIds) => void gone.push(...runIds) };
  const openJournal = (): Promise<Journal> => Promise.resolve(journal);
  const desk = await openDesk({ openJournal });
  desk.removeRun(runId);
  await desk.settled();
  expect(gone).toEqual([]); // it may still come back
  const names = desk.jobs.map(({ id }) => id);
  expect(names).toContain(job.id);
  await desk.newJob('another');
  await desk.openJob(job.id);
  expect(gone).toEqual([runId]);
});
