/** The page's state as one: live results, the job, what the person likes. The browser's objects are handed out here. */
import type { AppState } from './contracts';
import { JobDesk } from './job.svelte';
import { Live } from './live.svelte';
import { KeptPreferences, type PreferencesStorage } from './preferences.svelte';

/** Opens the state; the job is there when it settles. */
export async function openApp(): Promise<AppState> {
  const live = new Live();
  const job = new JobDesk({
    live,
    locks: navigator.locks,
    askToKeep: async () => navigator.storage?.persist?.(),
  });
  window.addEventListener('beforeunload', (event) => {
    if (job.unsaved > 0) event.preventDefault(); // the browser asks before it throws away what the store refused
  });
  await job.start();
  return { live, job, preferences: new KeptPreferences(localStorageHere()) };
}

/** Even asking for it throws where storage is blocked. */
function localStorageHere(): PreferencesStorage | null {
  try {
    return window.localStorage;
  } catch {
    return null;
  }
}
