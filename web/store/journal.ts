/** Opens the journal, puts what dead pages left in it into the store, and hands out the page's side of it. Where a browser
 * has no private folder there is none, and the store alone must do. A thread of it that dies is started again. */
import type { Remote } from 'comlink';
import { connect } from '../worker/connect';
import { openDatabase } from './database';
import { bringBack, copyRest, wholeOf } from './copy-back';
import type { JobBook } from './job-records';
import { jobOfEntry, putBack } from './journal-replay';
import { NO_JOURNAL, type Journal, type JournalApi, type JournalEntry } from './journal-api';

/** A slow disk takes its time; a page that waits for ever is worse than one without a journal. */
const OPENS_WITHIN_MS = 3000;
/** A thread that dies again and again is let be. */
const MOST_STARTS = 5;
/** Jobs without a copy are copied once the page has its first moments behind it. */
const COPIES_REST_AFTER_MS = 5000;

/** To be called once, before the store is read. Never throws. */
export async function openJournal(): Promise<Journal> {
  const journal = new PageSide();
  return (await journal.open()) ? journal : NO_JOURNAL;
}

class PageSide implements Journal {
  /** null while its thread is being started. */
  #api: Remote<JournalApi> | null = null;
  /** Entries that the store does not have yet: a new thread writes them again. */
  readonly #waiting = new Map<number, { readonly jobId: string; readonly text: string }>();
  #count = 0;
  #starts = 0;
  /** The job that is open here as it was then, and what was changed since: a new thread begins its copy with them. */
  #held: { readonly jobId: string; whole: string } | null = null;
  broughtBack = 0;

  /** @returns false where there can be none */
  async open(): Promise<boolean> {
    if (++this.#starts > MOST_STARTS) return false;
    this.#api = null;
    try {
      const { api, broughtBack } = await started(() => void this.open());
      this.broughtBack += broughtBack;
      if (this.#held) quietly(api.hold(this.#held.jobId, this.#held.whole));
      for (const [number, { jobId, text }] of this.#waiting) quietly(api.add(number, jobId, text));
      this.#api = api;
      return true;
    } catch {
      return false;
    }
  }

  add(entry: JournalEntry): () => void {
    const number = ++this.#count;
    const text = JSON.stringify(entry);
    const jobId = jobOfEntry(entry)?.id ?? '';
    this.#waiting.set(number, { jobId, text });
    if (this.#held?.jobId === jobId) this.#held.whole += `\n${text}`;
    quietly(this.#api?.add(number, jobId, text));
    return () => {
      this.#waiting.delete(number);
      quietly(this.#api?.done(number));
    };
  }

  hold(book: JobBook): void {
    this.#held = { jobId: book.job.id, whole: wholeOf(book) };
    quietly(this.#api?.hold(this.#held.jobId, this.#held.whole));
  }

  letGo(): void {
    this.#held = null;
    quietly(this.#api?.letGo());
  }

  forget(jobId: string, runIds: readonly string[]): void {
    if (this.#held?.jobId === jobId) this.#held = null;
    quietly(this.#api?.forget(jobId, runIds));
  }

  forgetRuns(runIds: readonly string[]): void {
    if (runIds.length > 0) quietly(this.#api?.forgetRuns(runIds));
  }
}

/** The store is asked as well: what the journal refuses is not lost by that. */
const quietly = (call: Promise<void> | undefined): void => void call?.catch(() => undefined);

/** @param onEnd told when the thread that was started has died
 *  @throws what the browser refused */
async function started(onEnd: () => void): Promise<{ api: Remote<JournalApi>; broughtBack: number }> {
  const worker = new Worker(new URL('./journal.worker.ts', import.meta.url), {
    type: 'module',
    name: 'journal',
  });
  let isOpen = false;
  return new Promise((resolve, reject) => {
    const { api, close } = connect<JournalApi>(worker, (words) =>
      isOpen ? onEnd() : reject(new Error(words)),
    );
    setTimeout(() => {
      if (isOpen) return;
      reject(new Error('the journal did not open'));
      close();
    }, OPENS_WITHIN_MS);
    api.open().then(async (left) => {
      const broughtBack = await putCopiesBack(api);
      const isBack = await putAllBack(left.map(readEntry));
      if (isBack) await api.forgetLeft();
      isOpen = true;
      resolve({ api, broughtBack });
    }, reject);
  });
}

/** A store that refuses says so when it is read. @returns how many jobs it had lost */
async function putCopiesBack(api: Remote<JournalApi>): Promise<number> {
  try {
    const db = await openDatabase();
    setTimeout(() => void copyRest(db, api).catch(() => undefined), COPIES_REST_AFTER_MS);
    return await bringBack(db, api);
  } catch {
    return 0;
  }
}

/** @returns false where the store refuses: the entries stay for the next page */
async function putAllBack(entries: readonly (JournalEntry | null)[]): Promise<boolean> {
  const whole = entries.filter((entry) => entry !== null);
  if (whole.length === 0) return true;
  try {
    await putBack(await openDatabase(), whole);
    return true;
  } catch {
    return false;
  }
}

function readEntry(text: string): JournalEntry | null {
  try {
    return JSON.parse(text) as JournalEntry;
  } catch {
    return null;
  }
}
