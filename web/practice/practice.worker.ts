/** The practice engine's thread. */
import { expose } from 'comlink';
import { beat } from '../worker/heart';
import { PracticeBench } from './practice-bench';

expose(new PracticeBench());
beat();
