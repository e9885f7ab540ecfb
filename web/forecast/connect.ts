/** The forecast's thread, started and let go. */
import { wrap, type Remote } from 'comlink';
import type { ForecastApi } from './forecast-api';

export interface ForecastThread {
  readonly api: Remote<ForecastApi>;
  /** Cuts off whatever it is working on. */
  close(): void;
}

/** @param onCrash told when the thread has died: its calls are never answered */
export function startForecasts(onCrash: () => void): ForecastThread {
  const worker = new Worker(new URL('./forecast.worker.ts', import.meta.url), {
    type: 'module',
    name: 'forecasts',
  });
  worker.onerror = onCrash;
  return { api: wrap<ForecastApi>(worker), close: () => worker.terminate() };
}
