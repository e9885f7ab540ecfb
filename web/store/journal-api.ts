/** What the journal's thread is asked, and the journal as the page has it: changes are written ahead there before the store
 * takes them, so that none is lost when the browser dies in between. */
import type { Op } from './job-records';

/** One change of the store, all of it or nothing. */
export interface JournalEntry {
  /** A whole new job: it may be put in where there is none. */
  readonly isNewJob: boolean;
  readonly ops: readonly Op[];
}

/** The thread's side. Calls are taken in the order in which they are made. */
export interface JournalApi {
  /** @returns what pages that died have left, a JSON text for each entry
   *  @throws what the browser refused: then there is no journal */
  open(): Promise<readonly string[]>;
  /** What was left is in the store: forget it. */
  forgetLeft(): Promise<void>;
  /** Written before this settles. @param number counts up from 1 */
  add(number: number, entry: string): void;
  /** The store has it. */
  done(number: number): void;
}

/** The page's side. */
export interface Journal {
  /** Writes a change ahead; at once, and waits for nothing. @returns to be called when the store has it */
  add(entry: JournalEntry): () => void;
}

export const NO_JOURNAL: Journal = { add: () => () => undefined };
