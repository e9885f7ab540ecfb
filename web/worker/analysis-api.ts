/** The contract with the analysis thread. Control calls only: sample blocks come on a port, results are pulled. */
import type { HeardSignal } from '../../core/decode-heard';
import type { DwellSeen } from '../../core/decode-dwell';
import type { EngineFacts } from '../../core/engine';
import type { AdvanceCounts } from '../../core/sensor/advance-decoder';
import type { NoRateReason } from '../../dsp/follow-state';
import type { Strike, SignalReport } from '../../dsp/strike-chain';
import type { SparksSaid } from './spark-watch';

export type { SoundBlock } from './sound-block';

export type AnalysisEngine = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup' | 'crankSensor'>;

export interface ListenOptions {
  readonly sampleRateHz: number;
  /** A line input can drop out as zeros, and stutters in its first second; the practice engine cannot. */
  readonly source: 'line input' | 'practice engine';
  /** The trace's time at the first sample: 0, or later where a run goes on with a new source. */
  readonly startS: number;
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
  /** Rows before this one change no more; those from it on are sent again. */
  readonly settledRow: number;
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  readonly rpmSd: Float64Array;
}

/** What the worker knows now. */
export interface Latest {
  /** Raised at each new source: rows of an older one are void. */
  readonly session: number;
  /** Samples a second of the source; 0 before there is one. */
  readonly sampleRateHz: number;
  /** The trace's time now, seconds: that of the signal, lost and unheard stretches counted. */
  readonly timeS: number;
  /** Speed of the last strike, null where there is none to give, and its standard deviation. */
  readonly rpm: number | null;
  readonly rpmSd: number | null;
  /** Seconds since the last accepted strike; null before the first. */
  readonly strikeAgeS: number | null;
  readonly strike: Pick<Strike, 'timeS' | 'amplitude'> | null;
  readonly report: LiveReport;
  /** Left and right are the same in every sample of the last seconds; null for one channel. */
  readonly channelsIdentical: boolean | null;
  readonly channelCount: number;
  /** Times that sound was lost, and the frames of it. */
  readonly lostBlocks: number;
  readonly lostFrames: number;
  /** Seconds not heard because the machine or the browser's sound slept, in all. */
  readonly unheardS: number;
  /** A short stretch of the signal about the last strike for the picture, share of full scale; empty before. */
  readonly strikePicture: Float32Array;
  readonly rows: TraceRows;
  /** The advance of every spark against a crank sensor; null where none is heard. */
  readonly sensor: SensorLatest | null;
  /** Dwell of points heard closing; null where the clamp does not sit on the coil lead. */
  readonly dwell: DwellSeen | null;
  /** null where the source is no file. */
  readonly fileProgress: FileProgress | null;
  /** What the store refused, as a sentence; null while everything is put away. */
  readonly keepingProblem: string | null;
}

/** Why there is no speed: as the chain has it, or the input gives the same stretch of sound over and over, as one does whose
 * driver hangs. */
export type NoSpeedReason = NoRateReason | 'input repeats';

export interface LiveReport extends Omit<SignalReport, 'reason'> {
  readonly reason: NoSpeedReason | null;
}

/** What is known by a crank sensor on a channel of its own. */
export interface SensorLatest extends SparksSaid, AdvanceCounts {
  /** false: where it stands was not said; advances are right but for a constant. */
  readonly isPlaced: boolean;
}

export interface FileProgress {
  /** How much is read, 0 to 1. */
  readonly share: number;
  readonly done: boolean;
  /** Why it could not be read, as a sentence. */
  readonly problem: string | null;
  /** What was odd but not fatal, each a sentence. */
  readonly warnings: readonly string[];
}

export type FileOptions = Omit<ListenOptions, 'sampleRateHz' | 'source'>;

export interface AnalysisApi {
  /** A new live source. The port carries SoundBlock. */
  listen(options: ListenOptions, blocks: MessagePort): void;
  /** A new source from disk. Paced: as fast as it goes, or in real time so that readings can be pinned. Settles when
   * the file is read, refused or cut off by another source; what went wrong stands in `fileProgress`. */
  readFile(file: Blob, options: FileOptions, paced: 'fast' | 'real time'): Promise<void>;
  /** The engine or the clamp's channel changed: strikes are found and counted anew, the trace goes on after a gap. */
  change(engine: AnalysisEngine, channel: number): void;
  /** Which run the trace belongs to from now on; what was kept for the one before is put away first. A run starts a
   * new session whose time here is `startS`; null goes on without keeping. */
  keepFor(runId: string | null, keepSound: boolean, startS: number): Promise<void>;
  /** Frames that the sound system says never reached the page; counted and shown. */
  noteDropped(frames: number): void;
  /** What is known by now is put away when this settles; the source goes on. */
  putAway(): Promise<void>;
  /** Ends the source; what waits is decided and put away. */
  stop(): Promise<void>;
  /** Everything since `haveRow` settled rows of `session`. */
  latest(session: number, haveRow: number): Latest;
  /** What the strikes look like by now, made anew: to be asked for about once a second. null before one is learnt. */
  heard(): HeardSignal | null;
}
