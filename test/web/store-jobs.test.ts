/** Jobs in the store: whatever is done, the records in memory and those in the store say the same. fake-indexeddb stands
 * for the browser's. */
import 'fake-indexeddb/auto';
import fc from 'fast-check';
import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test } from 'vitest';
import type { Reading, Run } from '../../core/job';
import { BY_LIGHT, newJob, NOTHING_NOTED } from '../../core/new-job';
import { closeDatabase, openDatabase, storeProblem } from '../../web/store/database';
import { applied, bookOf, jobOf, readingsOf, type JobBook, type Op } from '../../web/store/job-records';
import { eraseJob, eraseRemoved, listJobs, loadJob, writeBook, writeOps } from '../../web/store/job-store';
import { appendSound, appendTrace } from '../../web/store/trace-store';
import {
  addReading,
  changeReading,
  removeReading,
  removeRun,
  takeBack,
  UNDO_STEPS,
} from '../../web/state/reading-changes';
import { closeRun, openRun } from '../../web/state/run-changes';

beforeEach(async () => {
  await closeDatabase();
  globalThis.indexedDB = new IDBFactory();
});

const reading = (id: string, seenDeg: number): Reading => ({
  ...{ id, seenDeg, at: '2026-10-14T17:05:00Z', timeS: 1, rpm: 1500, rpmSd: 4 },
  ...{ steady: true, stepRpm: null, note: '', ...BY_LIGHT },
});
const run = (id: string, readings: readonly Reading[]): Run => ({
  ...{ id, readings, setUpId: null, startedAt: '2026-10-14T17:00:00Z', source: 'line input', trace: null },
  ...{ corrections: { tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 0 }, ...NOTHING_NOTED },
});
const emptyBook = (id = 'job'): JobBook =>
  bookOf(newJob({ id, name: 'Bench', createdAt: '2026-10-14T17:00:00Z' }), '2026-10-14T17:00:00Z', 1);

test('a job that came as one piece comes back as the same piece, fields that nobody knows with it', async () => {
  const job = {
    ...newJob({ id: 'job', name: 'Bench', createdAt: '2026-10-14T17:00:00Z' }),
    runs: [
      { ...run('run', [{ ...reading('r1', 10), later: 1 } as Reading]), later: [2] } as Run,
      run('two', []),
    ],
    later: { kept: true },
  };
  const db = await openDatabase();
  await writeBook(db, bookOf(job, '2026-10-14T18:00:00Z', 3));
  expect(jobOf((await loadJob(db, 'job'))!)).toEqual(job);
  expect(await listJobs(db)).toMatchObject([{ id: 'job', order: 3 }]);
  expect(await loadJob(db, 'another')).toBeNull();
});

type Act = (book: JobBook, n: number) => Op[];
/** Something to do with a job, `at` choosing what it is done to. */
const actOf = (kind: number, at: number): Act => {
  const anyRun = (book: JobBook): string => book.runs[at % Math.max(1, book.runs.length)]?.id ?? 'none';
  const anyReading = (book: JobBook): string => {
    const all = [...book.readings.values()].flat();
    return all[at % Math.max(1, all.length)]?.id ?? 'none';
  };
  const removed = (book: JobBook, id: string): boolean => !book.runs.some((r) => r.id === id && !r.removed);
  switch (kind) {
    case 0:
      return (book, n) =>
        openRun(book, { id: `run ${n}`, setUpId: null, startedAt: `${n}`, source: 'typed by hand' }, false);
    case 1:
    case 2:
      return (book, n) =>
        removed(book, anyRun(book)) ? [] : addReading(book, anyRun(book), reading(`reading ${n}`, n));
    case 3:
      return (book, n) => changeReading(book, anyReading(book), { seenDeg: -n, note: `note ${n}` });
    case 4:
      return (book) => removeReading(book, anyReading(book));
    case 5:
      return (book) => removeRun(book, anyRun(book));
    case 6:
      return (book) => closeRun(book, anyRun(book));
    default:
      return (book) => takeBack(book);
  }
};

test('after any acts in any order the store holds what memory holds', async () => {
  const acts = fc.array(fc.tuple(fc.nat(8), fc.nat(20)), { maxLength: 40 });
  await fc.assert(
    fc.asyncProperty(acts, async (list) => {
      await closeDatabase();
      globalThis.indexedDB = new IDBFactory();
      const db = await openDatabase();
      let book = emptyBook();
      await writeBook(db, book);
      for (const [n, [kind, at]] of list.entries()) {
        const ops = actOf(kind, at)(book, n);
        book = applied(book, ops);
        if (ops.length > 0) await writeOps(db, ops);
      }
      const found = (await loadJob(db, 'job'))!;
      expect(jobOf(found)).toEqual(jobOf(book));
      expect(found.undo).toEqual(book.undo);
    }),
    { numRuns: 60, seed: 20261014 },
  );
});

test('taking everything back leads to where it began', () => {
  const acts = fc.array(fc.tuple(fc.constantFrom(1, 2, 3, 4, 5), fc.nat(20)), { maxLength: 30 });
  fc.assert(
    fc.property(acts, (list) => {
      const start = applied(emptyBook(), [
        ...openRun(emptyBook(), { id: 'run', setUpId: null, startedAt: '', source: 'line input' }, false),
      ]);
      const ended = applied(start, closeRun(start, 'run')); // a run taken away is ended first
      let book = ended;
      for (const [n, [kind, at]] of list.entries()) book = applied(book, actOf(kind, at)(book, n));
      while (book.undo.length > 0) book = applied(book, takeBack(book));
      expect(jobOf(book)).toEqual(jobOf(ended));
    }),
    { numRuns: 200, seed: 20261014 },
  );
});

test('the oldest step is forgotten when the list of changes is full', () => {
  let book = applied(
    emptyBook(),
    openRun(emptyBook(), { id: 'run', setUpId: null, startedAt: '', source: 'line input' }, false),
  );
  for (let n = 0; n < UNDO_STEPS + 3; n++)
    book = applied(book, addReading(book, 'run', reading(`reading ${n}`, n)));
  expect(book.undo).toHaveLength(UNDO_STEPS);
  while (book.undo.length > 0) book = applied(book, takeBack(book));
  expect(readingsOf(book, 'run').map(({ id }) => id)).toEqual(['reading 0', 'reading 1', 'reading 2']);
});

test('a reading for a run that is not there is refused', () => {
  expect(() => addReading(emptyBook(), 'run', reading('r', 1))).toThrow(RangeError);
});

test('changes that fail half-way leave the store as it was', async () => {
  const db = await openDatabase();
  let book = emptyBook();
  await writeBook(db, book);
  const open = openRun(book, { id: 'run', setUpId: null, startedAt: '', source: 'line input' }, false);
  book = applied(book, open);
  await writeOps(db, open);
  const ops = addReading(book, 'run', { ...reading('r', 1), note: (() => 'no data') as never });
  await expect(writeOps(db, [{ put: 'jobs', value: { ...book.job, order: 99 } }, ...ops])).rejects.toThrow();
  expect(await loadJob(db, 'job')).toEqual({ ...book, readings: new Map([['run', []]]) });
});

const COUNTS = ['jobs', 'runs', 'readings', 'undo', 'trace', 'sound'] as const;
const counts = async (): Promise<number[]> => {
  const db = await openDatabase();
  return Promise.all(COUNTS.map((name) => db.count(name)));
};

test('a job erased leaves nothing of its own and everything of the others', async () => {
  const db = await openDatabase();
  const spec = { sampleRateHz: 8000, channelCount: 1, coding: 'int16' } as const;
  for (const id of ['one', 'two']) {
    const readings = [reading(`r of ${id}`, 1)];
    const book = bookOf({ ...jobOf(emptyBook(id)), runs: [run(`run of ${id}`, readings)] }, '', 1);
    await writeBook(db, book);
    await writeOps(db, changeReading(book, `r of ${id}`, { seenDeg: 2 }));
    const rows = Float64Array.of(1, 2);
    await appendTrace(`run of ${id}`, { timeS: rows, rpm: rows, rpmSd: rows });
    await appendSound(`run of ${id}`, { startS: 0, frames: 1, spec, bytes: new Blob([new Uint8Array(2)]) });
  }
  expect(await counts()).toEqual([2, 2, 2, 2, 2, 2]);
  const before = await loadJob(db, 'two');
  await eraseJob(db, 'one');
  expect(await counts()).toEqual([1, 1, 1, 1, 1, 1]);
  expect(await loadJob(db, 'two')).toEqual(before);
});

test('runs taken away are erased when their job is opened again, with the steps that led to them', async () => {
  const db = await openDatabase();
  let book = bookOf(
    { ...jobOf(emptyBook()), runs: [run('one', [reading('r1', 1)]), run('two', [reading('r2', 2)])] },
    '',
    1,
  );
  await writeBook(db, book);
  for (const act of [changeReading(book, 'r1', { seenDeg: 5 }), changeReading(book, 'r2', { seenDeg: 6 })]) {
    const ops = act.map((op) =>
      'put' in op && op.put === 'undo' ? { ...op, value: { ...op.value, order: book.undo.length + 1 } } : op,
    );
    book = applied(book, ops);
    await writeOps(db, ops);
  }
  const gone = removeRun(book, 'one');
  await writeOps(db, gone);
  const after = await eraseRemoved(db, (await loadJob(db, 'job'))!);
  expect(jobOf(after).runs.map(({ id }) => id)).toEqual(['two']);
  expect(after.undo).toHaveLength(1);
  expect(await loadJob(db, 'job')).toEqual({
    ...after,
    readings: new Map([['two', readingsOf(after, 'two')]]),
  });
});

test('each refusal of the store is said in a sentence of its own', () => {
  const said = ['QuotaExceededError', 'SecurityError', 'VersionError', 'TimeoutError', 'DataError'].map(
    (name) => storeProblem(new DOMException('x', name)),
  );
  expect(new Set(said).size).toBe(5);
  for (const sentence of said) expect(sentence).toMatch(/^[A-Z].*\.$/);
});

test('a store of a later version is refused as such', async () => {
  await new Promise((resolve, reject) => {
    const later = indexedDB.open('clampline', 99);
    later.onsuccess = () => resolve(later.result.close());
    later.onerror = reject;
  });
  const error: unknown = await openDatabase().then(
    () => null,
    (reason: unknown) => reason,
  );
  expect(storeProblem(error)).toContain('newer version of this page');
});
