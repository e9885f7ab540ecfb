/** The open job: its records in memory, the job they make, and the way of each change to the store. Changes are written
 * ahead and seen at once; the store follows in its own time and loses none. */
import type { Job } from '../../core/job';
import type { JobRecord } from '../store/database';
import { writeOps } from '../store/job-store';
import type { Journal } from '../store/journal-api';
import { applied, jobOf, type JobBook, type Op } from '../store/job-records';
import type { StoreWriter } from '../store/writer';

export interface BookClock {
  /** ISO 8601, UTC */
  readonly now: () => string;
  /** One more than any job's order so far. */
  readonly nextOrder: () => number;
}

export class OpenBook {
  #book: JobBook | null = $state.raw(null);
  #job: Job | null = $state.raw(null);
  readonly #writer: StoreWriter;
  readonly #clock: BookClock;
  readonly #onChange: (record: JobRecord) => void;
  readonly #journal: () => Journal;

  /** @param journal asked at each change: it is there once it has opened */
  constructor(
    writer: StoreWriter,
    clock: BookClock,
    onChange: (record: JobRecord) => void,
    journal: () => Journal,
  ) {
    this.#writer = writer;
    this.#journal = journal;
    this.#clock = clock;
    this.#onChange = onChange;
  }

  get book(): JobBook | null {
    return this.#book;
  }
  get job(): Job | null {
    return this.#job;
  }

  /** Puts a job on show as it stands in the store; null: none. */
  open(book: JobBook | null): void {
    this.#book = book;
    this.#job = book && jobOf(book);
  }

  /** Makes changes, in memory now and in the store as soon as it takes them; all of them or none. */
  commit(ops: readonly Op[]): void {
    if (!this.#book || ops.length === 0) return;
    const head = ops.reduce(
      (found, op) => ('put' in op && op.put === 'jobs' ? op.value.head : found),
      this.#book.job.head,
    );
    const job: JobRecord = {
      id: head.id,
      head,
      changedAt: this.#clock.now(),
      // Another tab may have had the job since this one listed it.
      order: Math.max(this.#clock.nextOrder(), this.#book.job.order + 1),
    };
    const all: Op[] = [
      ...ops.filter((op) => !('put' in op && op.put === 'jobs')),
      { put: 'jobs', value: job },
    ];
    const done = this.#journal().add({ isNewJob: false, ops: all });
    this.open(applied(this.#book, all));
    this.#writer.put((db) => writeOps(db, all).then(done));
    this.#onChange(job);
  }

  /** Changes facts of the job itself. */
  changeHead(patch: Partial<JobRecord['head']>): void {
    if (!this.#book) return;
    const { job } = this.#book;
    this.commit([{ put: 'jobs', value: { ...job, head: { ...job.head, ...patch, id: job.id } } }]);
  }
}
