/** The analysis thread: control calls and sound blocks in, results on request out. It alone sees samples. */
import { expose } from 'comlink';
import { storeProblem } from '../store/database';
import { openTraceStore } from '../store/trace-store';
import { Analysis } from './analysis';
import { beat } from './heart';

expose(new Analysis(openTraceStore, storeProblem));
beat();
