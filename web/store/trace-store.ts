/** A run's trace and raw sound, put away piece by piece and read back whole. Called from the worker as they come, from
 * the page for files; knows no job. */
import { encodeFrames, type WavSpec } from '../../dsp/wav-writer';
import { openDatabase, type SoundRecord } from './database';

/** Columns of equal length, oldest first; rpm NaN is a gap. */
export interface TraceRowsToKeep {
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  readonly rpmSd: Float64Array;
}

/** Adds rows behind those already put away. Settles when they are in the store.
 * @throws RangeError if the columns differ in length; otherwise what the store refused */
export async function appendTrace(runId: string, rows: TraceRowsToKeep): Promise<void> {
  const { timeS, rpm, rpmSd } = rows;
  if (rpm.length !== timeS.length || rpmSd.length !== timeS.length)
    throw new RangeError(
      `columns of one length were wanted, got ${timeS.length}, ${rpm.length}, ${rpmSd.length}`,
    );
  if (timeS.length === 0) return;
  const db = await openDatabase();
  // Copies: a view of a large buffer would be stored with all of the buffer.
  await db.add('trace', { runId, timeS: timeS.slice(), rpm: rpm.slice(), rpmSd: rpmSd.slice() });
}

/** All rows of a run, oldest first; empty columns where there is none. */
export async function readTrace(runId: string): Promise<TraceRowsToKeep> {
  const db = await openDatabase();
  const pieces = await db.getAllFromIndex('trace', 'runId', runId);
  return {
    timeS: joined(pieces.map((piece) => piece.timeS)),
    rpm: joined(pieces.map((piece) => piece.rpm)),
    rpmSd: joined(pieces.map((piece) => piece.rpmSd)),
  };
}

/** The time of the last row put away, seconds: where a run that goes on has to start. null where there is none. */
export async function traceEndS(runId: string): Promise<number | null> {
  const db = await openDatabase();
  const last = await db.transaction('trace').store.index('runId').openCursor(runId, 'prev');
  return last?.value.timeS.at(-1) ?? null;
}

function joined(parts: readonly Float64Array[]): Float64Array {
  const whole = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** A piece of raw sound: about a second at a time keeps the records few. */
export interface SoundChunk {
  /** Any number that changes whenever another source begins. */
  readonly source: number;
  readonly sampleRateHz: number;
  /** Frame of this source that the piece begins with, lost frames counted: gaps are filled with silence on reading. */
  readonly startFrame: number;
  /** One array a channel, equal lengths, full scale ±1. */
  readonly channels: readonly Float32Array[];
}

/** Adds a piece of sound, rounded to 24 bit. Settles when it is in the store.
 * @throws RangeError if the channels differ in length; otherwise what the store refused */
export async function appendSound(runId: string, chunk: SoundChunk): Promise<void> {
  const { source, sampleRateHz, startFrame, channels } = chunk;
  const frames = channels[0]?.length ?? 0;
  if (frames === 0) return;
  const bytes = encodeFrames(specOf(sampleRateHz, channels.length), channels);
  const db = await openDatabase();
  await db.add('sound', {
    runId,
    source,
    sampleRateHz,
    channelCount: channels.length,
    startFrame,
    frames,
    bytes,
  });
}

const specOf = (sampleRateHz: number, channelCount: number): WavSpec => ({
  sampleRateHz,
  channelCount,
  coding: 'int24',
});

export async function hasSound(runId: string): Promise<boolean> {
  const db = await openDatabase();
  return (await db.countFromIndex('sound', 'runId', runId)) > 0;
}

/** Sound of one source without a break: what one WAV can carry. */
export interface SoundStretch {
  readonly spec: WavSpec;
  readonly frames: number;
  /** Sample bytes, in order; the browser holds them outside the page's memory. */
  readonly parts: readonly Blob[];
}

/** A run's sound, one stretch for each source, lost frames as silence. Reads a record at a time: an hour of sound
 * never stands in the page's memory. */
export async function readSound(runId: string): Promise<SoundStretch[]> {
  const db = await openDatabase();
  const stretches: StretchBuilder[] = [];
  let cursor = await db.transaction('sound').store.index('runId').openCursor(runId);
  while (cursor) {
    const record = cursor.value;
    if (!stretches.at(-1)?.takes(record)) stretches.push(new StretchBuilder(record));
    stretches.at(-1)!.add(record);
    cursor = await cursor.continue();
  }
  return stretches.map((stretch) => stretch.built());
}

const SILENCE_BYTES = 3 * 2 ** 18; // a whole number of 24-bit samples, the same Blob again and again

class StretchBuilder {
  readonly #first: SoundRecord;
  readonly #spec: WavSpec;
  readonly #parts: Blob[] = [];
  #frames = 0;
  #silence: Blob | null = null;

  constructor(first: SoundRecord) {
    this.#first = first;
    this.#spec = specOf(first.sampleRateHz, first.channelCount);
  }

  takes(record: SoundRecord): boolean {
    return (
      record.source === this.#first.source &&
      record.sampleRateHz === this.#first.sampleRateHz &&
      record.channelCount === this.#first.channelCount &&
      record.startFrame >= this.#first.startFrame + this.#frames
    );
  }

  add(record: SoundRecord): void {
    this.#addSilence(record.startFrame - this.#first.startFrame - this.#frames);
    this.#parts.push(new Blob([record.bytes]));
    this.#frames += record.frames;
  }

  #addSilence(frames: number): void {
    let bytes = frames * this.#spec.channelCount * 3;
    if (bytes > 0) this.#silence ??= new Blob([new Uint8Array(SILENCE_BYTES)]);
    for (; bytes > 0; bytes -= SILENCE_BYTES)
      this.#parts.push(bytes >= SILENCE_BYTES ? this.#silence! : this.#silence!.slice(0, bytes));
    this.#frames += frames;
  }

  built(): SoundStretch {
    return { spec: this.#spec, frames: this.#frames, parts: this.#parts };
  }
}
