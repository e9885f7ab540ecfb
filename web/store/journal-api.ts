/** What the journal's thread is asked, and the journal as the page has it: changes are written ahead there before the store
 * takes them, so that none is lost when the browser dies in between. */
import type { JobBook, Op } from './job-records';
import type { TraceRowsToKeep } from './trace-store';

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
  /** Written before this settles, and behind the copy of its job if that is held. @param number counts up from 1 */
  add(number: number, jobId: string, entry: string): void;
  /** The store has it. */
  done(number: number): void;
  /** Begins the copy of a job anew, and leaves the one held before. @param whole the job as one entry */
  hold(jobId: string, whole: string): void;
  letGo(): void;
  /** A job was taken out: its copies go. */
  forget(jobId: string, runIds: readonly string[]): Promise<void>;
  /** Runs were taken out: the copies of their traces go. */
  forgetRuns(runIds: readonly string[]): Promise<void>;
  /** Ids of all jobs that have a copy. */
  copiedJobs(): Promise<readonly string[]>;
  /** Entries of a copy, the whole job first; none where a living page holds it. */
  jobCopy(jobId: string): Promise<readonly string[]>;
  traceCopy(runId: string): Promise<TraceRowsToKeep | null>;
  /** Writes the copy of a job that no page holds. */
  writeCopy(jobId: string, whole: string): Promise<void>;
}

/** The page's side. */
export interface Journal {
  /** Writes a change ahead; at once, and waits for nothing. @returns to be called when the store has it */
  add(entry: JournalEntry): () => void;
  /** A job is open here from now on: its copy begins anew with it. */
  hold(book: JobBook): void;
  /** Another tab has it. */
  letGo(): void;
  /** A job was taken out for good. */
  forget(jobId: string, runIds: readonly string[]): void;
  /** Runs of a job were taken out for good. */
  forgetRuns(runIds: readonly string[]): void;
  /** So many jobs were put back from their copies, since the browser had lost its store. */
  readonly broughtBack: number;
}

const nothing = (): void => undefined;
export const NO_JOURNAL: Journal = {
  add: () => nothing,
  hold: nothing,
  letGo: nothing,
  forget: nothing,
  forgetRuns: nothing,
  broughtBack: 0,
};
