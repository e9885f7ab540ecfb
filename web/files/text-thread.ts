/** Reads and writes the texts of files in a thread of their own, started for each and let go after it, so that the page
 * answers while a long one is taken apart and the memory is given back. */
import { connect } from '../worker/connect';
import type { TextApi } from './text-api';
import { TextBench } from './text-bench';

/** Does one piece of work. Where there are no threads it is done here.
 * @throws what the work throws, and what ended the thread */
export async function withTexts<T>(act: (api: TextApi) => Promise<T>): Promise<T> {
  if (typeof Worker === 'undefined') return act(new TextBench());
  const worker = new Worker(new URL('./text.worker.ts', import.meta.url), { type: 'module', name: 'texts' });
  let close: () => void = () => undefined;
  try {
    return await new Promise<T>((resolve, reject) => {
      const thread = connect<TextApi>(worker, (words) => reject(new Error(`its thread stopped (${words})`)));
      close = thread.close;
      act(thread.api).then(resolve, reject);
    });
  } finally {
    close();
  }
}
