/** The fit's thread. */
import { expose } from 'comlink';
import { FitBench } from './fit-bench';

expose(new FitBench());
