/** Opens the journal, puts what dead pages left in it into the store, and hands out the page's side of it. Where a browser
 * has no private folder there is none, and the store alone must do. */
import type { Remote } from 'comlink';
import { connect } from '../worker/connect';
import { openDatabase } from './database';
import { putBack } from './journal-replay';
import { NO_JOURNAL, type Journal, type JournalApi, type JournalEntry } from './journal-api';

/** A slow disk takes its time; a page that waits for ever is worse than one without a journal. */
const OPENS_WITHIN_MS = 3000;

/** To be called once, before the store is read. Never throws. */
export async function openJournal(): Promise<Journal> {
  try {
    const worker = new Worker(new URL('./journal.worker.ts', import.meta.url), {
      type: 'module',
      name: 'journal',
    });
    return await new Promise<Journal>((resolve, reject) => {
      const { api } = connect<JournalApi>(worker, (words) => reject(new Error(words)));
      setTimeout(() => reject(new Error('the journal did not open')), OPENS_WITHIN_MS);
      api.open().then(async (left) => {
        const isBack = await putAllBack(left.map(readEntry));
        if (isBack) await api.forgetLeft();
        resolve(pageSide(api));
      }, reject);
    });
  } catch {
    return NO_JOURNAL;
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

function pageSide(api: Remote<JournalApi>): Journal {
  const quietly = (call: Promise<void>): void => void call.catch(() => undefined); // the store is asked as well
  let count = 0;
  return {
    add(entry) {
      const number = ++count;
      quietly(api.add(number, JSON.stringify(entry)));
      return () => quietly(api.done(number));
    },
  };
}
