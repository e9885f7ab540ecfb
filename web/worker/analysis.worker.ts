/** The analysis thread: control calls and sound blocks in, results on request out. It alone sees samples. */
import { expose } from 'comlink';
import { storeProblem } from '../store/database';
import { TraceCopy } from '../store/private/trace-copy';
import { NO_ROWS, openTraceStore, type TraceStore } from '../store/trace-store';
import { Analysis } from './analysis';
import { beat } from './heart';

/** What goes into the store goes into the copy too. */
async function openCopiedStore(): Promise<TraceStore> {
  const store = await openTraceStore();
  const copy = new TraceCopy();
  return {
    ...store,
    appendTrace(runId, rows, tail = NO_ROWS) {
      copy.append(runId, rows, tail);
      return store.appendTrace(runId, rows, tail);
    },
  };
}

expose(new Analysis(openCopiedStore, storeProblem));
beat();
