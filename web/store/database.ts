/** The page's database: its shape, its upgrades and one connection for each thread. Knows no job's meaning; page and
 * worker both may call. */
import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction, type StoreNames } from 'idb';
import type { Job, Reading, Run } from '../../core/job';
import { jobFrom1, readingFrom1, runFrom1, type RawJob } from '../../core/files/job-migrations';
import { DATABASE_VERSION } from './database-version';
import type { WavSpec } from '../../dsp/wav/wav-writer';

/** A job without its runs: what is written when a fact of it changes. */
export type JobHead = Omit<Job, 'runs'>;
/** A run without its readings and its trace, which have records of their own. */
export type RunHead = Omit<Run, 'readings' | 'trace'>;

export interface JobRecord {
  readonly id: string;
  readonly head: JobHead;
  /** ISO 8601, UTC: to show. */
  readonly changedAt: string;
  /** Raised at each change, over all jobs: what came last, whatever the clock said. */
  readonly order: number;
}

export interface RunRecord {
  readonly id: string;
  readonly jobId: string;
  readonly head: RunHead;
  /** Place among the job's runs. */
  readonly order: number;
  /** false: nobody has ended it yet. */
  readonly ended: boolean;
  readonly keepSound: boolean;
  /** Taken away by hand; it can still be brought back until the job is next opened. */
  readonly removed: boolean;
}

export interface ReadingRecord {
  readonly id: string;
  readonly runId: string;
  readonly reading: Reading;
  /** Place among the run's readings. */
  readonly order: number;
}

/** One change that can be taken back: records as they were; null where there was none. */
export type UndoStep =
  | {
      readonly kind: 'reading';
      readonly id: string;
      readonly runId: string;
      readonly before: ReadingRecord | null;
    }
  | { readonly kind: 'run'; readonly before: RunRecord };

export interface UndoRecord {
  readonly jobId: string;
  /** Place in the job's list of changes; the highest is taken back first. */
  readonly order: number;
  readonly step: UndoStep;
}

export interface TraceRecord {
  readonly runId: string;
  readonly timeS: Float64Array;
  /** NaN is a gap. */
  readonly rpm: Float64Array;
  readonly rpmSd: Float64Array;
}

export interface SoundRecord {
  readonly runId: string;
  /** The trace's time at its first frame. */
  readonly startS: number;
  readonly frames: number;
  readonly spec: WavSpec;
  /** Interleaved samples, coded as `spec` says. */
  readonly bytes: Uint8Array<ArrayBuffer>;
}

export interface ClamplineSchema extends DBSchema {
  jobs: { key: string; value: JobRecord };
  runs: { key: string; value: RunRecord; indexes: { jobId: string } };
  readings: { key: string; value: ReadingRecord; indexes: { runId: string } };
  undo: { key: [string, number]; value: UndoRecord };
  trace: { key: number; value: TraceRecord; indexes: { runId: string } };
  sound: { key: number; value: SoundRecord; indexes: { runId: string } };
}

export type Database = IDBPDatabase<ClamplineSchema>;
type Upgrade = (
  db: Database,
  tx: IDBPTransaction<ClamplineSchema, StoreNames<ClamplineSchema>[], 'versionchange'>,
) => void | Promise<void>;

/** Each brings the database from the version of its place to the next, up to `DATABASE_VERSION`. One that has shipped is
 * never changed. */
const UPGRADES = [
  function toVersion1(db) {
    db.createObjectStore('jobs', { keyPath: 'id' });
    db.createObjectStore('runs', { keyPath: 'id' }).createIndex('jobId', 'jobId');
    db.createObjectStore('readings', { keyPath: 'id' }).createIndex('runId', 'runId');
    db.createObjectStore('undo', { keyPath: ['jobId', 'order'] });
    // The keys count up by themselves: pieces come back in the order in which they were put away.
    db.createObjectStore('trace', { autoIncrement: true }).createIndex('runId', 'runId');
    db.createObjectStore('sound', { autoIncrement: true }).createIndex('runId', 'runId');
  },
  /** Jobs of version 1 become jobs of version 2, record by record. */
  async function toVersion2(_db, tx) {
    const jobs = await tx.objectStore('jobs').getAll();
    const runs = await tx.objectStore('runs').getAll();
    const readings = await tx.objectStore('readings').getAll();
    const undo = await tx.objectStore('undo').getAll();
    await Promise.all([
      ...jobs.map((record) => tx.objectStore('jobs').put({ ...record, head: raised(record.head, jobFrom1) })),
      ...runs.map((record) => tx.objectStore('runs').put(runRecordFrom1(record))),
      ...readings.map((record) => tx.objectStore('readings').put(readingRecordFrom1(record))),
      ...undo.map((record) => tx.objectStore('undo').put({ ...record, step: stepFrom1(record.step) })),
    ]);
  },
] as const satisfies readonly Upgrade[];
/** There are as many upgrades as the version says, or this does not compile. */
const VERSION: (typeof UPGRADES)['length'] = DATABASE_VERSION;

const raised = <T extends object>(value: T, from: (value: RawJob) => RawJob): T =>
  from(value as unknown as RawJob) as unknown as T;
const runRecordFrom1 = (record: RunRecord): RunRecord => ({ ...record, head: raised(record.head, runFrom1) });
const readingRecordFrom1 = (record: ReadingRecord): ReadingRecord => ({
  ...record,
  reading: raised(record.reading, readingFrom1),
});

function stepFrom1(step: UndoStep): UndoStep {
  if (step.kind === 'run') return { ...step, before: runRecordFrom1(step.before) };
  return { ...step, before: step.before && readingRecordFrom1(step.before) };
}

export const DATABASE_NAME = 'clampline';

let connection: Promise<Database> | null = null;

/** The connection of this thread, opened at the first call and again after the browser has closed it.
 * @throws what the browser refused; `storeProblem` says it in a sentence */
export function openDatabase(): Promise<Database> {
  connection ??= openPatiently().catch((error: unknown) => {
    connection = null; // the next call tries again
    throw error;
  });
  return connection;
}

/** Closes this thread's connection. */
export async function closeDatabase(): Promise<void> {
  const closing = connection;
  connection = null;
  (await closing?.catch(() => null))?.close();
}

/** Long enough for a tab with the old page to let go, short enough to say so before the person wonders. */
const BLOCKED_MS = 4000;
/** A slow disk takes its time; a store that hangs must still be said. */
const HUNG_MS = 30_000;

/** A browser that was killed may leave its store locked for a moment: what did not open is tried again, so often. */
const TRY_AGAIN_MS = [200, 400, 800, 1600];

async function openPatiently(): Promise<Database> {
  for (const waitMs of TRY_AGAIN_MS) {
    try {
      return await open();
    } catch (error) {
      if (!(error instanceof DOMException) || error.name !== 'UnknownError') throw error;
      await new Promise((resolve) => setTimeout(resolve, waitMs));
    }
  }
  return open();
}

async function open(): Promise<Database> {
  if (typeof indexedDB === 'undefined') throw new DOMException('no indexedDB here', 'InvalidStateError');
  const patience = new Patience();
  const opened = openDB<ClamplineSchema>(DATABASE_NAME, VERSION, {
    upgrade: async (db, from, _to, tx) => {
      for (const upgrade of UPGRADES.slice(from)) await upgrade(db, tx);
    },
    blocked: () => patience.endsIn(BLOCKED_MS),
    blocking: () => void closeDatabase(), // a newer page wants to upgrade: let go at once
    terminated: () => (connection = null),
  });
  patience.endsIn(HUNG_MS);
  try {
    return await Promise.race([opened, patience.over]);
  } catch (error) {
    opened.then((late) => late.close()).catch(() => undefined);
    throw error;
  } finally {
    patience.stop();
  }
}

/** Rejects when it has waited long enough. */
class Patience {
  #reject: (error: DOMException) => void = () => undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;
  readonly over = new Promise<never>((_resolve, reject) => (this.#reject = reject));

  endsIn(ms: number): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(
      () => this.#reject(new DOMException('the database did not open', 'TimeoutError')),
      ms,
    );
  }

  stop(): void {
    clearTimeout(this.#timer);
  }
}

/** Asks for all of a transaction's changes and settles when it is over: all of them are made or none.
 * @throws what the store refused */
export async function allOrNothing(
  tx: { abort(): void; readonly done: Promise<void> },
  asks: readonly (() => Promise<unknown>)[],
): Promise<void> {
  const asked = [tx.done];
  try {
    for (const ask of asks) asked.push(ask().then(() => undefined));
    await Promise.all(asked);
  } catch (error) {
    asked.forEach((each) => each.catch(() => undefined)); // one refusal is said, not all that follow from it
    try {
      tx.abort(); // a value that cannot be stored does not end the transaction by itself
    } catch {
      // over already
    }
    throw error;
  }
}

/** What the browser's store refused, as one plain sentence for the person. */
export function storeProblem(error: unknown): string {
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  switch (name) {
    case 'QuotaExceededError':
      return 'There is no room left on this machine to keep more; free some space, or save the job file.';
    case 'VersionError':
      return 'What is kept here was written by a newer version of this page; load the page anew to use it.';
    case 'TimeoutError':
      return 'The store did not answer; close other tabs with this page, or save the job file.';
    case 'SecurityError':
    case 'InvalidStateError':
    case 'UnknownError':
      return 'This browser keeps nothing here (a private window, or storage is blocked); save the job file before you close the page.';
    default:
      return `The store refused (${name || String(error)}); what you enter is held in this tab, so save the job file.`;
  }
}
