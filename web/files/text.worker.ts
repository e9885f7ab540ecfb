/** The thread for the texts of files. */
import { expose } from 'comlink';
import { beat } from '../worker/heart';
import { TextBench } from './text-bench';

expose(new TextBench());
beat();
