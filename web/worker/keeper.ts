/** Puts a run's trace and, if asked, its raw sound away as they come: rows and blocks in, pieces to the store out, every
 * tenth of a second and in order. Rows that what comes after may still make better are put away too, and again when it has.
 * What the store refuses is said, and never stops the listening. */
import { encodeFrames, type WavSpec } from '../../dsp/wav/wav-writer';
import type { SoundChunk, TraceStore } from '../store/trace-store';
import type { TraceBuffer } from './trace-buffer';

/** Where a block of sound stands. */
export interface SoundPlace {
  /** The trace's time at its first frame. */
  readonly timeS: number;
  readonly sampleRateHz: number;
}

const EVERY_MS = 100; // with the way of a strike through the analysis, far below the second that may be lost
const LONG_S = 0.25;

interface Kept {
  readonly runId: string;
  readonly trace: TraceBuffer;
  /** Rows put away for good so far, and all that were put away. */
  rows: number;
  seen: number;
}

export class Keeper {
  /** What the store refused last, as a sentence; null while everything is put away. */
  problem: string | null = null;
  readonly #openStore: () => Promise<TraceStore>;
  readonly #problemText: (error: unknown) => string;
  #store: Promise<TraceStore> | null = null;
  #kept: Kept | null = null;
  #keepsSound = false;
  #sound: SoundPile | null = null;
  #queue: Promise<void> = Promise.resolve();
  #waiting = 0;
  #timer: ReturnType<typeof setInterval> | null = null;

  /** @param problemText says a refusal as a sentence */
  constructor(openStore: () => Promise<TraceStore>, problemText: (error: unknown) => string) {
    this.#openStore = openStore;
    this.#problemText = problemText;
  }

  /** Keeps this trace for a run from its first row on; null: nothing. What waited is put away first. */
  async keep(runId: string | null, trace: TraceBuffer, keepsSound: boolean): Promise<void> {
    const flushed = this.flush();
    this.#sound = null;
    this.#kept = runId === null ? null : { runId, trace, rows: 0, seen: 0 };
    this.#keepsSound = keepsSound;
    if (this.#timer !== null) clearInterval(this.#timer);
    this.#timer = this.#kept && setInterval(() => this.#waiting === 0 && void this.#flush(false), EVERY_MS);
    await flushed;
  }

  /** @param channels one array a channel, copied */
  sound(place: SoundPlace, channels: readonly Float32Array[]): void {
    if (!this.#kept || !this.#keepsSound || channels.length === 0) return;
    if (this.#sound && !this.#sound.joins(place, channels.length)) this.#putSound(this.#kept.runId);
    this.#sound ??= new SoundPile(place, channels.length);
    this.#sound.add(channels);
  }

  /** Puts away all that is known by now, the last rows as they stand; the trace goes on. */
  putAway(): Promise<void> {
    return this.#flush(false);
  }

  /** Puts away all that waits, for good. Settles when the store has it or has refused it. */
  flush(): Promise<void> {
    return this.#flush(true);
  }

  /** @param all for good also the rows that what comes may still make better */
  #flush(all: boolean): Promise<void> {
    const kept = this.#kept;
    if (!kept) return this.#queue;
    const rows = kept.trace.copyFrom(kept.rows, all ? kept.trace.length : kept.trace.settled);
    const isNew = rows.timeS.length > 0 || kept.trace.length > kept.seen;
    kept.rows += rows.timeS.length;
    kept.seen = kept.trace.length;
    const tail = kept.trace.copyFrom(kept.rows);
    if (isNew) this.#put((store) => store.appendTrace(kept.runId, rows, tail));
    if (all || this.#sound?.isLong) this.#putSound(kept.runId);
    return this.#queue;
  }

  #putSound(runId: string): void {
    const chunk = this.#sound?.whole();
    this.#sound = null;
    if (chunk) this.#put((store) => store.appendSound(runId, chunk));
  }

  #put(put: (store: TraceStore) => Promise<void>): void {
    this.#waiting++;
    this.#queue = this.#queue.then(async () => {
      try {
        await put(await (this.#store ??= this.#openStore()));
      } catch (error) {
        this.#store = null; // opened anew for the next piece
        this.problem = this.#problemText(error);
      } finally {
        this.#waiting--;
      }
    });
  }
}

/** Encoded blocks of one source without a break, waiting for the store. */
class SoundPile {
  readonly #startS: number;
  readonly #spec: WavSpec;
  readonly #pieces: Uint8Array<ArrayBuffer>[] = [];
  #frames = 0;

  constructor({ timeS, sampleRateHz }: SoundPlace, channelCount: number) {
    this.#startS = timeS;
    this.#spec = { sampleRateHz, channelCount, coding: 'int24' };
  }

  /** The block begins within a frame of where the pile ends, and is of its kind. */
  joins({ timeS, sampleRateHz }: SoundPlace, channelCount: number): boolean {
    const isSame = sampleRateHz === this.#spec.sampleRateHz && channelCount === this.#spec.channelCount;
    return isSame && Math.abs((timeS - this.#startS) * sampleRateHz - this.#frames) < 1;
  }

  add(channels: readonly Float32Array[]): void {
    this.#pieces.push(encodeFrames(this.#spec, channels));
    this.#frames += channels[0]!.length;
  }

  /** Long enough for a record of its own: they are to be few. */
  get isLong(): boolean {
    return this.#frames >= LONG_S * this.#spec.sampleRateHz;
  }

  whole(): SoundChunk {
    const bytes = new Blob(this.#pieces);
    return { startS: this.#startS, frames: this.#frames, spec: this.#spec, bytes };
  }
}
