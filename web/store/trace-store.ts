/** A run's trace and raw sound, put away piece by piece and read back whole. Called from the worker as they come, from
 * the page for files; knows no job. */
import { frameBytes, type WavSpec } from '../../dsp/wav/wav-writer';
import { allOrNothing, openDatabase, type TraceRecord } from './database';

/** Columns of equal length, oldest first; rpm NaN is a gap. */
export interface TraceRowsToKeep {
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  readonly rpmSd: Float64Array;
}

/** A piece of raw sound: half a second or more at a time keeps the records few. */
export interface SoundChunk {
  /** The trace's time at its first frame: what is missing between two pieces becomes silence on reading. */
  readonly startS: number;
  readonly frames: number;
  readonly spec: WavSpec;
  /** Interleaved samples, coded as `spec` says. */
  readonly bytes: Blob;
}

/** What the analysis thread asks of the store. */
export interface TraceStore {
  appendTrace(runId: string, rows: TraceRowsToKeep, tail?: TraceRowsToKeep): Promise<void>;
  appendSound(runId: string, chunk: SoundChunk): Promise<void>;
}

/** @throws what the browser refused */
export async function openTraceStore(): Promise<TraceStore> {
  await openDatabase();
  return { appendTrace, appendSound };
}

/** Rows that the store has refused so far: they go in ahead of the next piece. */
let waiting: TraceRecord[] = [];
/** The record of rows that come again, made better, with the next piece; null: none. One of a dead page stays. */
let tailKey: number | null = null;

/** Adds rows behind those already put away. Settles when they are in the store; rows that it refuses are held in memory
 * and put away with the next piece. One writer at a time.
 * @param tail rows behind them that stand until the next call, which gives them again
 * @throws RangeError if the columns differ in length; otherwise what the store refused */
export async function appendTrace(
  runId: string,
  rows: TraceRowsToKeep,
  tail: TraceRowsToKeep = NO_ROWS,
): Promise<void> {
  const last = recordOf(runId, tail);
  const taken = [...waiting, recordOf(runId, rows)].filter(({ timeS }) => timeS.length > 0);
  waiting = [];
  const before = tailKey;
  let after: number | null = null;
  try {
    const tx = (await openDatabase()).transaction('trace', 'readwrite', { durability: 'relaxed' });
    await allOrNothing(tx, [
      ...(before === null ? [] : [() => tx.store.delete(before)]),
      ...taken.map((record) => () => tx.store.add(record)),
      ...(last.timeS.length === 0 ? [] : [async () => (after = await tx.store.add(last))]),
    ]);
    tailKey = after;
  } catch (error) {
    waiting = [...taken, ...waiting];
    throw error;
  }
}

export const NO_ROWS: TraceRowsToKeep = {
  timeS: new Float64Array(),
  rpm: new Float64Array(),
  rpmSd: new Float64Array(),
};

/** Copies: a view of a large buffer would be stored with all of the buffer. */
function recordOf(runId: string, { timeS, rpm, rpmSd }: TraceRowsToKeep): TraceRecord {
  if (rpm.length !== timeS.length || rpmSd.length !== timeS.length)
    throw new RangeError(
      `columns of one length were wanted, got ${timeS.length}, ${rpm.length}, ${rpmSd.length}`,
    );
  return { runId, timeS: timeS.slice(), rpm: rpm.slice(), rpmSd: rpmSd.slice() };
}

/** So many records are read and joined in one go: more hold the page's thread up. */
const READ_AT_ONCE = 500;

/** All rows of a run, oldest first; empty columns where there is none. */
export async function readTrace(runId: string): Promise<TraceRowsToKeep> {
  const { store, done } = (await openDatabase()).transaction('trace');
  const keys = await store.index('runId').getAllKeys(runId);
  const stretches: TraceRowsToKeep[] = [];
  for (let i = 0; i < keys.length; i += READ_AT_ONCE) {
    const last = keys[Math.min(i + READ_AT_ONCE, keys.length) - 1]!;
    const records = await store.getAll(IDBKeyRange.bound(keys[i], last));
    stretches.push(joined(records.filter((record) => record.runId === runId))); // another run's may lie between
  }
  await done;
  return joined(stretches);
}

const joined = (pieces: readonly TraceRowsToKeep[]): TraceRowsToKeep => ({
  timeS: joinedColumn(pieces.map(({ timeS }) => timeS)),
  rpm: joinedColumn(pieces.map(({ rpm }) => rpm)),
  rpmSd: joinedColumn(pieces.map(({ rpmSd }) => rpmSd)),
});

/** The time of the last row put away, seconds: where a run that goes on has to start. null where there is none. */
export async function traceEndS(runId: string): Promise<number | null> {
  const db = await openDatabase();
  const last = await db.transaction('trace').store.index('runId').openCursor(runId, 'prev');
  return last?.value.timeS.at(-1) ?? null;
}

function joinedColumn(parts: readonly Float64Array[]): Float64Array {
  const whole = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** Adds a piece of sound. Settles when it is in the store.
 * @throws RangeError if there are not as many bytes as frames want; otherwise what the store refused */
export async function appendSound(runId: string, chunk: SoundChunk): Promise<void> {
  const { startS, frames, spec } = chunk;
  if (chunk.bytes.size !== frames * frameBytes(spec))
    throw new RangeError(`${frames * frameBytes(spec)} bytes were wanted, got ${chunk.bytes.size}`);
  if (frames === 0) return;
  const bytes = new Uint8Array(await chunk.bytes.arrayBuffer()); // a Blob would be stored as a file of its own
  const tx = (await openDatabase()).transaction('sound', 'readwrite', { durability: 'relaxed' });
  await allOrNothing(tx, [() => tx.store.add({ runId, startS, frames, spec, bytes })]);
}

export async function hasSound(runId: string): Promise<boolean> {
  const db = await openDatabase();
  return (await db.countFromIndex('sound', 'runId', runId)) > 0;
}
