/** Jobs fetched from the store and put into it, one held at a time. Records in and out; shows nothing. */
import type { Job } from '../../core/job';
import { newJob } from '../../core/new-job';
import { openDatabase, storeProblem, type TraceRecord } from '../store/database';
import { bookOf, opsOf, type JobBook } from '../store/job-records';
import type { Journal } from '../store/journal-api';
import { eraseJob, eraseRemoved, listJobs, loadJob, writeBook } from '../store/job-store';
import type { StoreWriter } from '../store/writer';
import { holdJob, type HeldJob } from './job-lock';
import type { JobsList } from './jobs-list.svelte';

export interface JobShelfOptions {
  readonly list: JobsList;
  readonly writer: StoreWriter;
  readonly locks: Pick<LockManager, 'request'> | undefined;
  readonly now: () => string;
  readonly newId: () => string;
  readonly journal: () => Journal;
  /** Another tab has taken over the job held here. */
  readonly onLost: () => void;
  /** The store refused to be read; a sentence. */
  readonly onRefused: (text: string) => void;
}

export class JobShelf {
  readonly #options: JobShelfOptions;
  #held: HeldJob | null = null;

  constructor(options: JobShelfOptions) {
    this.#options = options;
  }

  /** The job on the desk belongs to another tab: it may be looked at only. */
  get locked(): boolean {
    return this.#held === null;
  }

  /** The job used last; a new one where there is none, or none can be read. */
  async first(): Promise<JobBook> {
    const { list, onRefused } = this.#options;
    await this.relist().catch((error: unknown) => onRefused(storeProblem(error)));
    const book = list.last && (await this.open(list.last.id));
    return book ?? this.add(this.#emptyJob('New job'));
  }

  /** Lists the jobs anew; those that are not in the store yet stay listed.
   * @throws what the store refused */
  async relist(): Promise<void> {
    this.#options.list.take(await listJobs(await openDatabase()));
  }

  make(name: string): Promise<JobBook> {
    return this.add(this.#emptyJob(name));
  }

  /** Holds a job and reads it; leaves the one held before.
   * @param fromOthers takes it from another tab
   * @returns null where it cannot be read; the one held before is then still held */
  async open(id: string, fromOthers = false): Promise<JobBook | null> {
    const { locks, onLost, onRefused } = this.#options;
    const held = await holdJob(id, { locks, fromOthers, onLost });
    try {
      const db = await openDatabase();
      const book = await loadJob(db, id);
      if (!book) throw new DOMException('no such job', 'NotFoundError');
      const fresh = held ? await eraseRemoved(db, book) : book;
      this.#options.journal().forgetRuns(goneFrom(book, fresh));
      this.#swap(held, fresh);
      return fresh;
    } catch (error) {
      held?.leave();
      onRefused(storeProblem(error));
      return null;
    }
  }

  /** Puts in a job that is new here, and holds it. */
  async add(job: Job, traces: readonly TraceRecord[] = []): Promise<JobBook> {
    const { list, writer, locks, now, onLost, journal } = this.#options;
    const book = bookOf(job, now(), list.nextOrder());
    list.put(book.job);
    // A job that came with traces came from a file, which is still there.
    const done = traces.length === 0 ? journal().add({ isNewJob: true, ops: opsOf(book) }) : () => undefined;
    writer.put((db) => writeBook(db, book, traces).then(done));
    this.#swap(await holdJob(job.id, { locks, onLost }), book);
    return book;
  }

  /** Takes a job out for good. @returns false where another tab holds it or the store refuses */
  async erase(id: string, isOpen: boolean): Promise<boolean> {
    const { list, writer, locks, onRefused, journal } = this.#options;
    const held = isOpen ? this.#held : await holdJob(id, { locks });
    if (!held) {
      onRefused('That job is open in another tab: close it there before you remove it.');
      return false;
    }
    try {
      await writer.settled();
      const runIds = await eraseJob(await openDatabase(), id);
      journal().forget(id, runIds);
      list.drop(id);
      return true;
    } catch (error) {
      onRefused(storeProblem(error));
      return false;
    } finally {
      if (!isOpen) held.leave();
    }
  }

  /** The job held has gone to another tab. */
  lose(): void {
    this.#options.journal().letGo();
    this.#held = null;
  }

  /** One job is held at a time, and so is its copy. @param held null: another tab has it */
  #swap(held: HeldJob | null, book: JobBook): void {
    this.#held?.leave();
    this.#held = held;
    if (held) this.#options.journal().hold(book);
    else this.#options.journal().letGo();
  }

  #emptyJob(name: string): Job {
    const { now, newId } = this.#options;
    return newJob({ id: newId(), name, createdAt: now() });
  }
}

/** Ids of the runs that are no more. */
const goneFrom = (before: JobBook, after: JobBook): string[] =>
  before.runs.filter(({ id }) => !after.runs.some((run) => run.id === id)).map(({ id }) => id);
