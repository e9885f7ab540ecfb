/** The practice engine's thread. */
import { expose } from 'comlink';
import { PracticeBench } from './practice-bench';

expose(new PracticeBench());
