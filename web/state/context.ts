/** How views reach the state: one context, set by App and read by any view below it. */
import { getContext, setContext } from 'svelte';
import type { AppState } from './contracts';

const KEY = Symbol('app state');

export const provideApp = (app: AppState): AppState => setContext(KEY, app);
export const useApp = (): AppState => getContext<AppState>(KEY);
