/** Writes to the store one after the other, in the order in which they were asked for. What it refuses stays in line and
 * is tried again; nothing is dropped without a word. Knows no record. */
import { openDatabase, storeProblem, type Database } from './database';

export type Write = (db: Database) => Promise<unknown>;

export interface WriterOptions {
  /** Told a sentence when the store refuses, null when it takes again. */
  readonly onProblem: (text: string | null) => void;
  readonly open?: (() => Promise<Database>) | undefined;
  readonly retryMs?: number | undefined;
}

/** Refusals of the data itself: trying again is no use. */
const HOPELESS: ReadonlySet<string> = new Set([
  'DataCloneError',
  'DataError',
  'ConstraintError',
  'TypeError',
]);

export class StoreWriter {
  readonly #open: () => Promise<Database>;
  readonly #onProblem: (text: string | null) => void;
  readonly #retryMs: number;
  #line: Write[] = [];
  #hopeless = 0;
  #working = false;
  #troubled = false;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #waiters: (() => void)[] = [];

  constructor({ onProblem, open = openDatabase, retryMs = 3000 }: WriterOptions) {
    this.#onProblem = onProblem;
    this.#open = open;
    this.#retryMs = retryMs;
  }

  /** Writes that are not in the store yet. */
  get waiting(): number {
    return this.#line.length + this.#hopeless;
  }

  put(write: Write): void {
    this.#line.push(write);
    void this.#work();
  }

  /** Tries again at once what the store has refused. */
  retry(): void {
    void this.#work();
  }

  /** Settles when everything asked for so far is in the store, or the store has refused. */
  async settled(): Promise<void> {
    if (this.#line.length === 0) return;
    await new Promise<void>((resolve) => this.#waiters.push(resolve));
  }

  async #work(): Promise<void> {
    if (this.#working) return;
    this.#working = true;
    clearTimeout(this.#timer);
    try {
      const db = this.#line.length > 0 ? await this.#open() : null;
      for (let write = this.#line[0]; db && write; write = this.#line[0]) {
        await this.#try(db, write);
        this.#line.shift();
      }
      // not after the first: the page may be closed as soon as nothing is said any more
      if (this.#troubled && this.#hopeless === 0) this.#onProblem(null);
      this.#troubled = false;
    } catch (error) {
      this.#refused(error);
    }
    this.#working = false;
    this.#waiters.splice(0).forEach((resolve) => resolve());
  }

  /** @throws what may pass; what never will is said and set aside, so that the rest gets through */
  async #try(db: Database, write: Write): Promise<void> {
    try {
      await write(db);
    } catch (error) {
      if (!(error instanceof Error) || !HOPELESS.has(error.name)) throw error;
      this.#hopeless++;
      this.#onProblem(storeProblem(error));
    }
  }

  #refused(error: unknown): void {
    this.#troubled = true;
    this.#onProblem(storeProblem(error));
    this.#timer = setTimeout(() => void this.#work(), this.#retryMs);
  }
}
