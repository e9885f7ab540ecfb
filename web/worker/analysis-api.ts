/** The contract with the analysis thread. Control calls only: sample blocks come on a port, results are pulled. */
import type { EngineFacts } from '../../core/engine';
import type { Strike, SignalReport } from '../../dsp/strike-chain';

/** One block of sound from a source (worklet or practice engine) to the worker, by MessagePort. The worker posts the
 * channel buffers back to be filled again. */
export interface SoundBlock {
  /** Frame number after this block's last frame: a jump shows lost frames. */
  readonly endFrame: number;
  /** One array a channel, full scale ±1. */
  readonly channels: Float32Array<ArrayBuffer>[];
}

export type AnalysisEngine = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;

export interface ListenOptions {
  readonly sampleRateHz: number;
  readonly engine: AnalysisEngine;
  /** Which channel carries the clamp, from 0. */
  readonly channel: number;
  /** The run that the trace belongs to; null: nothing is kept. */
  readonly runId: string | null;
  /** Keep the raw sound too. */
  readonly keepSound: boolean;
}

/** Trace rows since `fromRow`, plain columns; rpm NaN marks a gap. */
export interface TraceRows {
  readonly fromRow: number;
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  readonly rpmSd: Float64Array;
}

/** What the worker knows now. */
export interface Latest {
  /** Raised at each new source: rows of an older one are void. */
  readonly session: number;
  /** Seconds of signal so far. */
  readonly timeS: number;
  /** Speed of the last strike, null where there is none to give, and its standard deviation. */
  readonly rpm: number | null;
  readonly rpmSd: number | null;
  /** Seconds since the last accepted strike; null before the first. */
  readonly strikeAgeS: number | null;
  readonly strike: Pick<Strike, 'timeS' | 'amplitude'> | null;
  readonly report: SignalReport;
  /** Left and right are the same in every sample of the last seconds; null for one channel. */
  readonly channelsIdentical: boolean | null;
  readonly channelCount: number;
  /** Times that sound was lost, and the frames of it. */
  readonly lostBlocks: number;
  readonly lostFrames: number;
  /** A short stretch of the signal about the last strike for the picture, share of full scale; empty before. */
  readonly strikePicture: Float32Array;
  readonly rows: TraceRows;
  /** Set when a file has been read to its end or failed. */
  readonly fileProgress: { readonly share: number; readonly done: boolean; readonly problem: string | null } | null;
}

export interface AnalysisApi {
  /** A new live source. The port carries SoundBlock. */
  listen(options: ListenOptions, blocks: MessagePort): void;
  /** A new source from disk. Paced: as fast as it goes, or in real time so that readings can be pinned. */
  readFile(file: Blob, options: Omit<ListenOptions, 'sampleRateHz' | 'keepSound'>, paced: 'fast' | 'real time'): Promise<void>;
  /** Which run the trace belongs to from now on; the rows kept so far are put away first. */
  keepFor(runId: string | null, keepSound: boolean): Promise<void>;
  /** Ends the source; what waits is decided and put away. */
  stop(): Promise<void>;
  /** Everything new since `haveRow` rows of `session`. */
  latest(session: number, haveRow: number): Latest;
}
