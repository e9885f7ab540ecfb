/** A store that an earlier version of the page filled, opened by this one. fake-indexeddb stands for the browser's. */
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import { readFileSync } from 'node:fs';
import { beforeEach, expect, test } from 'vitest';
import { parseJob } from '../../core/files/job-file';
import type { Job, Reading } from '../../core/job';
import { closeDatabase, DATABASE_NAME, openDatabase } from '../../web/store/database';
import { bookOf, jobOf } from '../../web/store/job-records';
import { loadJob } from '../../web/store/job-store';

beforeEach(async () => {
  await closeDatabase();
  globalThis.indexedDB = new IDBFactory();
});

const text = readFileSync(new URL('../helpers/old-jobs/version-1.json', import.meta.url), 'utf8');
const old = JSON.parse(text) as Job;

/** The store as its first version made and filled it. */
async function fillVersion1(): Promise<void> {
  const db = await openDB(DATABASE_NAME, 1, {
    upgrade(made) {
      made.createObjectStore('jobs', { keyPath: 'id' });
      made.createObjectStore('runs', { keyPath: 'id' }).createIndex('jobId', 'jobId');
      made.createObjectStore('readings', { keyPath: 'id' }).createIndex('runId', 'runId');
      made.createObjectStore('undo', { keyPath: ['jobId', 'order'] });
      made.createObjectStore('trace', { autoIncrement: true }).createIndex('runId', 'runId');
      made.createObjectStore('sound', { autoIncrement: true }).createIndex('runId', 'runId');
    },
  });
  const { job, runs, readings } = bookOf(old, '2026-03-11T19:00:00Z', 1);
  await db.put('jobs', job);
  for (const run of runs) await db.put('runs', run);
  for (const reading of [...readings.values()].flat()) await db.put('readings', reading);
  const [first] = [...readings.values()].flat();
  const step = { kind: 'reading', id: first!.id, runId: first!.runId, before: first };
  await db.put('undo', { jobId: job.id, order: 1, step });
  db.close();
}

test('what the first version kept is there, brought up as a file of that version is', async () => {
  await fillVersion1();
  const book = (await loadJob(await openDatabase(), old.id))!;
  const file = parseJob(text);
  if (!('job' in file)) throw new Error(file.problem);
  const runs = file.job.runs.map((run) => ({ ...run, trace: null })); // traces have records of their own
  expect(jobOf(book)).toEqual({ ...file.job, runs });
  const { step } = book.undo[0]!;
  const before = step.kind === 'reading' ? (step.before?.reading as Reading) : null;
  expect(before).toMatchObject({ by: 'light', scatterDeg: null });
});
