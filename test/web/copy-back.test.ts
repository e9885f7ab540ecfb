/** Jobs that the store has lost come back from their copies; what it has is left alone. The files themselves are met in a
 * real browser (`test/faults/store-lost.test.ts`). */
import { beforeEach, expect, test } from 'vitest';
import { bringBack, copyRest, wholeOf } from '../../web/store/copy-back';
import { openDatabase } from '../../web/store/database';
import type { JournalEntry } from '../../web/store/journal-api';
import { bookOf } from '../../web/store/job-records';
import { loadJob, writeBook } from '../../web/store/job-store';
import { readTrace } from '../../web/store/trace-store';
import { madeJob } from '../helpers/made-jobs';
import { emptyStore } from './job-desk-helpers';

beforeEach(emptyStore);

const job = madeJob();
const book = bookOf(job, '2026-10-14T17:05:00.000Z', 5);
const runId = job.runs[0]!.id;
const TRACE = {
  timeS: Float64Array.of(0.1, 0.2),
  rpm: Float64Array.of(900, NaN),
  rpmSd: Float64Array.of(4, NaN),
};

/** Copies in memory. */
function copiesOf(lines: Readonly<Record<string, readonly string[]>>) {
  const written = new Map<string, string>();
  return {
    written,
    copiedJobs: () => Promise.resolve(Object.keys(lines)),
    jobCopy: (id: string) => Promise.resolve(lines[id]!),
    traceCopy: (id: string) => Promise.resolve(id === runId ? TRACE : null),
    writeCopy: (id: string, whole: string) => Promise.resolve(void written.set(id, whole)),
  };
}

const renamed: JournalEntry = {
  isNewJob: false,
  ops: [{ put: 'jobs', value: { ...book.job, order: 6, head: { ...book.job.head, name: 'renamed' } } }],
};

test('a job that the store does not have comes back whole, with what was changed since and its trace', async () => {
  const db = await openDatabase();
  const lines = [wholeOf(book), JSON.stringify(renamed), '{"cut off'];
  expect(await bringBack(db, copiesOf({ [job.id]: lines }))).toBe(1);
  const back = (await loadJob(db, job.id))!;
  expect(back.job.head.name).toBe('renamed');
  expect(back.readings).toEqual(book.readings);
  expect(await readTrace(runId)).toEqual(TRACE);
});

test('a job that the store has is left as it is, and one whose copy says nothing is none', async () => {
  const db = await openDatabase();
  await writeBook(db, book);
  const copies = copiesOf({ [job.id]: [JSON.stringify(renamed)], held: [] });
  expect(await bringBack(db, copies)).toBe(0);
  expect(await loadJob(db, job.id)).toEqual(book);
  expect((await readTrace(runId)).timeS).toHaveLength(0);
});

test('a job without a copy is copied, so that it would come back the same', async () => {
  const db = await openDatabase();
  await writeBook(db, book);
  const copies = copiesOf({});
  await copyRest(db, copies);
  expect([...copies.written.keys()]).toEqual([job.id]);
  await emptyStore();
  await bringBack(await openDatabase(), copiesOf({ [job.id]: [copies.written.get(job.id)!] }));
  expect(await loadJob(await openDatabase(), job.id)).toEqual(book);
});
