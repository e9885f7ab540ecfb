/** Fits curves in a thread of their own, so that neither the tap nor the picture waits for them. Readings in, fits out. */
import { type CurveFit, type CurvePoint, fitOf } from '../../core/fit';
import { connect, type Connection } from '../worker/connect';
import type { FitApi } from './fit-api';

interface Thread extends Connection<FitApi> {
  /** Rejects when the thread has died: its calls are never answered. */
  readonly died: Promise<never>;
}

let thread: Thread | null = null;

/** Starts the thread ahead of the first reading: at the engine the network may be gone. */
export function startFits(): Thread {
  if (thread) return thread;
  const worker = new Worker(new URL('./fit.worker.ts', import.meta.url), { type: 'module', name: 'fits' });
  let die: (words: string) => void = () => undefined;
  const died = new Promise<never>((_resolve, reject) => (die = (words) => reject(new Error(words))));
  died.catch(() => (thread = null)); // the next fit starts another
  return (thread = { ...connect<FitApi>(worker, (words) => die(words)), died });
}

/** @throws RangeError as `fitCurve`, and what ended the thread */
export async function fitInThread(points: readonly CurvePoint[]): Promise<CurveFit> {
  const { api, died } = startFits();
  return fitOf(await Promise.race([api.fit(points), died]));
}
