/** The fit's thread. */
import { expose } from 'comlink';
import { beat } from '../worker/heart';
import { FitBench } from './fit-bench';

expose(new FitBench());
beat();
