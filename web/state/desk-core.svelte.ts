/** What the parts of the job's desk share: the open job's records, the one who may change them, and what is said. */
import { NO_JOURNAL, type Journal } from '../store/journal-api';
import { runById, runOf, type JobBook, type Op } from '../store/job-records';
import type { RunRecord } from '../store/database';
import { StoreWriter } from '../store/writer';
import type { Job, Run } from '../../core/job';
import type { LiveState } from './contracts';
import { isoNow } from './iso-now';
import { JobShelf } from './job-shelf';
import { JobsList } from './jobs-list.svelte';
import { OpenBook } from './open-book.svelte';
import { Problems } from './problems.svelte';

export interface DeskCoreOptions {
  readonly live: LiveState;
  /** undefined: a browser without locks. */
  readonly locks: Pick<LockManager, 'request'> | undefined;
  readonly now?: (() => string) | undefined;
  readonly newId?: (() => string) | undefined;
  readonly retryMs?: number | undefined;
  /** Opened before the store is read; where there is none the store alone must do. */
  readonly openJournal?: (() => Promise<Journal>) | undefined;
}

/** What the desk does where its shared part cannot know. */
export interface DeskCoreActs {
  /** Anything of the job or the run on show may have changed. */
  readonly changed: () => void;
  /** Another tab has taken the job over. */
  readonly lost: () => void;
  readonly saveJobFile: () => void;
  readonly useHere: () => void;
}

export class DeskCore {
  readonly live: LiveState;
  readonly now: () => string;
  readonly newId: () => string;
  readonly problems = new Problems<'store' | 'other tab' | 'act' | 'lost' | 'news'>();
  readonly list = new JobsList();
  readonly writer: StoreWriter;
  readonly shelf: JobShelf;
  readonly #open: OpenBook;
  readonly #openJournal: () => Promise<Journal>;
  #journal: Journal = NO_JOURNAL;
  readonly #acts: DeskCoreActs;

  constructor(options: DeskCoreOptions, acts: DeskCoreActs) {
    const { live, locks, now, newId, retryMs } = options;
    this.#openJournal = options.openJournal ?? (() => Promise.resolve(NO_JOURNAL));
    const journal = (): Journal => this.#journal;
    this.live = live;
    this.now = now ?? isoNow;
    this.newId = newId ?? (() => crypto.randomUUID());
    this.#acts = acts;
    this.writer = new StoreWriter({ retryMs, onProblem: (text) => this.#storeSaid(text) });
    const clock = { now: this.now, nextOrder: this.list.nextOrder };
    this.#open = new OpenBook(this.writer, clock, (record) => this.list.put(record), journal);
    this.shelf = new JobShelf({
      ...{ list: this.list, writer: this.writer, locks, now: this.now, newId: this.newId, journal },
      onLost: acts.lost,
      onRefused: (text) => this.problems.tell('act', text),
    });
  }

  /** What dead pages have left is put into the store; from here on changes are written ahead. */
  async openJournal(): Promise<void> {
    this.#journal = await this.#openJournal();
  }

  /** Jobs that the browser had lost are here again. */
  sayBroughtBack(): void {
    const { broughtBack } = this.#journal;
    if (broughtBack > 0) this.problems.tell('lost', broughtBackText(broughtBack));
  }

  get book(): JobBook | null {
    return this.#open.book;
  }
  get job(): Job | null {
    return this.#open.job;
  }

  record(runId: string | null): RunRecord | null {
    return this.book && runById(this.book, runId);
  }

  run(runId: string | null): Run | null {
    const record = this.record(runId);
    return this.book && record ? runOf(this.book, record) : null;
  }

  /** Shows a job as its records stand. */
  show(book: JobBook): void {
    this.#open.open(book);
  }

  /** Makes the changes that a look at the book asks for, if this tab may. @returns whether it may */
  commit(changes: (book: JobBook) => readonly Op[]): boolean {
    if (!this.book || !this.mayWrite()) return false;
    this.#open.commit(changes(this.book));
    this.#acts.changed();
    return true;
  }

  /** Changes facts of the job itself. */
  changeHead(patch: Parameters<OpenBook['changeHead']>[0]): void {
    if (!this.book || !this.mayWrite()) return;
    this.#open.changeHead(patch);
    this.#acts.changed();
  }

  /** Whether this tab may change the job; where another has it, says so. */
  mayWrite(): boolean {
    if (this.shelf.locked) this.sayLocked();
    return !this.shelf.locked;
  }

  sayLocked(): void {
    const text = 'This job is open in another tab; here it can only be looked at.';
    this.problems.say('other tab', text, { label: 'Use it here', act: this.#acts.useHere });
  }

  #storeSaid(text: string | null): void {
    if (text !== null)
      return this.problems.say('store', text, { label: 'Save the job file', act: this.#acts.saveJobFile });
    this.problems.clear('store');
    void this.shelf.relist().catch(() => undefined); // the next refusal is said by itself
  }
}

const broughtBackText = (jobs: number): string =>
  jobs === 1
    ? 'The browser had lost its store: 1 job came back from its copy, without kept sound.'
    : `The browser had lost its store: ${jobs} jobs came back from their copies, without kept sound.`;
