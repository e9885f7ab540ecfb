/** The forecast's thread. */
import { expose } from 'comlink';
import { ForecastBench } from './forecast-bench';

expose(new ForecastBench());
