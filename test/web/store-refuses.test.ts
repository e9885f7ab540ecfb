/** A store that refuses: it is said, nothing held is lost, and all of it is written once the store takes again. */
import { beforeEach, expect, test } from 'vitest';
import { closeDatabase, type Database } from '../../web/store/database';
import { StoreWriter } from '../../web/store/writer';
import { emptyStore, openDesk } from './job-desk-helpers';

beforeEach(emptyStore);

const refusingWith = (name: string): IDBFactory =>
  ({
    open: () => {
      throw new DOMException('refused', name);
    },
  }) as never;

/** A writer whose store refuses until it is told to work. */
function refusing() {
  const said: (string | null)[] = [];
  const done: number[] = [];
  const store = { error: null as Error | null };
  const writer = new StoreWriter({
    onProblem: (text) => said.push(text),
    open: async () => {
      if (store.error) throw store.error;
      return {} as Database;
    },
    retryMs: 1,
  });
  return { said, done, store, writer, put: (n: number) => writer.put(async () => void done.push(n)) };
}

test('writes go to the store one after the other, in the order asked for', async () => {
  const { writer, done } = refusing();
  for (const n of [1, 2, 3])
    writer.put(async () => {
      await new Promise((resolve) => setTimeout(resolve, 4 - n));
      done.push(n);
    });
  await writer.settled();
  expect(done).toEqual([1, 2, 3]);
  expect(writer.waiting).toBe(0);
});

test('what the store refuses stays in line, is said once it is refused, and taken back when it works', async () => {
  const { writer, done, store, said, put } = refusing();
  store.error = new DOMException('full', 'QuotaExceededError');
  put(1);
  put(2);
  await writer.settled();
  expect(writer.waiting).toBe(2);
  expect(said.at(-1)).toContain('no room left');
  store.error = null;
  await expect.poll(() => writer.waiting).toBe(0);
  expect(done).toEqual([1, 2]);
  expect(said.at(-1)).toBeNull();
});

test('a refusal is not taken back before all that waited is in the store', async () => {
  const done: number[] = [];
  const doneWhenTakenBack: number[] = [];
  let error: Error | null = new DOMException('full', 'QuotaExceededError');
  const writer = new StoreWriter({
    onProblem: (text) => {
      if (text === null) doneWhenTakenBack.push(...done);
    },
    open: async () => {
      if (error) throw error;
      return {} as Database;
    },
    retryMs: 1,
  });
  for (const n of [1, 2, 3]) writer.put(async () => void done.push(n));
  await writer.settled();
  error = null;
  await expect.poll(() => writer.waiting).toBe(0);
  await writer.settled();
  await expect.poll(() => doneWhenTakenBack).toEqual([1, 2, 3]);
});

test('a change that no store can take is said and does not hold up the rest', async () => {
  const { writer, done, said, put } = refusing();
  writer.put(async () => Promise.reject(new DOMException('a function', 'DataCloneError')));
  put(2);
  await writer.settled();
  expect(done).toEqual([2]);
  expect(writer.waiting).toBe(1);
  expect(said.at(-1)).toContain('save the job file');
});

test('a desk whose browser keeps nothing works in memory, says so, and stores all when it can', async () => {
  const works = globalThis.indexedDB;
  await closeDatabase();
  globalThis.indexedDB = refusingWith('SecurityError');
  const desk = await openDesk();
  await desk.settled();
  expect(desk.problem!.text).toContain('This browser keeps nothing here');
  expect(desk.problem!.wayOn!.label).toBe('Save the job file');
  await desk.startRun(null, false);
  desk.pin(1500);
  desk.read(20);
  expect(desk.run!.readings).toHaveLength(1);
  expect(desk.unsaved).toBeGreaterThan(0);

  globalThis.indexedDB = works;
  await expect.poll(() => desk.unsaved).toBe(0);
  expect(desk.problem).toBeNull();
  const again = await openDesk();
  expect(again.run!.readings).toEqual(desk.run!.readings);
});

test('jobs that could not be listed at first are listed once the store takes again', async () => {
  const before = await openDesk();
  before.change({ name: 'Of yesterday' });
  await before.settled();
  const works = globalThis.indexedDB;
  await closeDatabase();
  globalThis.indexedDB = refusingWith('InvalidStateError');
  const desk = await openDesk();
  expect(desk.jobs).toHaveLength(1);
  await expect.poll(() => desk.problem).not.toBeNull();
  globalThis.indexedDB = works;
  await expect
    .poll(() => new Set(desk.jobs.map(({ name }) => name)), { timeout: 20_000 })
    .toEqual(new Set(['New job', 'Of yesterday']));
});

test('a store that refuses in mid-run loses no reading and keeps their order', async () => {
  const desk = await openDesk();
  await desk.startRun(null, false);
  const read = (deg: number): void => {
    desk.pin(1000);
    desk.read(deg);
  };
  read(10);
  await desk.settled();
  const works = globalThis.indexedDB;
  await closeDatabase();
  globalThis.indexedDB = refusingWith('QuotaExceededError');
  read(11);
  read(12);
  desk.removeReading(desk.run!.readings[0]!.id);
  await expect.poll(() => desk.problem?.text).toMatch(/./);
  globalThis.indexedDB = works;
  read(13);
  await expect.poll(() => desk.unsaved).toBe(0);
  expect((await openDesk()).run!.readings.map(({ seenDeg }) => seenDeg)).toEqual([11, 12, 13]);
});

test('a store that a killed browser has left locked for a moment is opened once it is free', async () => {
  await emptyStore();
  const works = globalThis.indexedDB;
  let tries = 0;
  globalThis.indexedDB = {
    open: (...asked: Parameters<IDBFactory['open']>) => {
      // Chromium's words where another process still holds the files (from memory)
      if ((tries += 1) <= 2) throw new DOMException('Internal error opening backing store', 'UnknownError');
      return works.open(...asked);
    },
  } as never;
  const desk = await openDesk();
  expect(tries).toBe(3);
  expect(desk.problem).toBeNull();
  globalThis.indexedDB = works;
});
