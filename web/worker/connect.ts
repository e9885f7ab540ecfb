/** Starts a worker and says when it dies, by its own error, without a word, or by the word of a watchdog. The page's side
 * of the contract. */
import { wrap, type Remote } from 'comlink';
import type { AnalysisApi } from './analysis-api';
import { watchHeart } from './heart';

export interface Connection<Api> {
  readonly api: Remote<Api>;
  /** For a watchdog: the worker does not answer any more. */
  fail(words: string): void;
  /** Ends the worker; nothing more is said about it. */
  close(): void;
}

/** @param onCrash called once, with a few words, when the worker has thrown where nobody could catch it */
export function connect<Api>(worker: Worker, onCrash: (words: string) => void): Connection<Api> {
  let told = false;
  const tell = (words: string): void => {
    if (told) return;
    told = true;
    worker.terminate();
    onCrash(words);
  };
  worker.onerror = (event) => {
    event.preventDefault();
    tell(event.message || 'an error');
  };
  worker.onmessageerror = () => tell('an unreadable message');
  watchHeart(worker, () => tell('its thread ended'));
  return {
    api: wrap<Api>(worker),
    fail: tell,
    close() {
      told = true;
      worker.terminate();
    },
  };
}

export const connectAnalysis = (onCrash: (words: string) => void): Connection<AnalysisApi> =>
  connect<AnalysisApi>(
    new Worker(new URL('./analysis.worker.ts', import.meta.url), { type: 'module', name: 'analysis' }),
    onCrash,
  );
