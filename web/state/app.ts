/** The page's state as one: live results, the job, what the person likes. The browser's objects are handed out here. */
import { Here } from '../offline/here.svelte';
import { KeptPage } from '../offline/kept-page';
import { openJournal } from '../store/journal';
import type { AppState } from './contracts';
import { JobDesk } from './job.svelte';
import { Live } from './live.svelte';
import { KeptPreferences, type PreferencesStorage } from './preferences.svelte';

const KEEP_PAGE_AFTER_MS = 1000;

/** Opens the state; the job is there when it settles. */
export async function openApp(): Promise<AppState> {
  const live = new Live();
  const job = new JobDesk({
    ...{ live, locks: navigator.locks, openJournal },
    askToKeep: () => here.askToKeep(),
    putAway: live.putAway,
  });
  const here: Here = new Here({
    storage: navigator.storage,
    locks: navigator.locks,
    inRun: () => job.run !== null,
    reload: () => location.reload(),
    keptPage: (events) => new KeptPage(events),
  });
  window.addEventListener('beforeunload', (event) => {
    if (job.unsaved > 0) event.preventDefault(); // the browser asks before it throws away what the store refused
  });
  await job.start();
  keepPageLater(here);
  return { live, job, here, preferences: new KeptPreferences(localStorageHere()) };
}

/** The page's files are kept once the first view stands; the sources served for work are not. */
function keepPageLater(here: Here): void {
  if (import.meta.env.MODE === 'production')
    setTimeout(() => void here.keepPage(navigator.serviceWorker), KEEP_PAGE_AFTER_MS);
}

/** Even asking for it throws where storage is blocked. */
function localStorageHere(): PreferencesStorage | null {
  try {
    return window.localStorage;
  } catch {
    return null;
  }
}
