/** What the views may ask of the page's state. The classes beside this file keep to it; views take it by context. */
import type { HeardSignal } from '../../core/decode-heard';
import type { Job, Reading, Run, SetUp } from '../../core/job';
import type { EngineFacts } from '../../core/engine';
import type { CurveFit } from '../../core/fit';
import type { Room } from '../offline/room';
import type { AnalysisEngine, Latest } from '../worker/analysis-api';
import type { LongTask } from './long-task.svelte';

export type SourceKind = 'line input' | 'recording' | 'practice engine';

/** One plain sentence for the person, and what they can do about it. */
export interface Problem {
  readonly text: string;
  readonly wayOn: { readonly label: string; readonly act: () => void } | null;
}

export interface InputFacts {
  readonly label: string;
  readonly sampleRateHz: number;
  readonly channelCount: number;
  /** Voice processing known to be still on, in words; empty where none is known to be. */
  readonly processingOn: readonly string[];
}

export interface TraceView {
  /** Columns of equal length, oldest first; rpm NaN is a gap. Replaced, never changed in place. */
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  readonly rpmSd: Float64Array;
}

export interface SoundPiece {
  readonly startS: number;
  readonly wav: Blob;
}

/** Live results: the source, what it gives now, the trace. */
export interface LiveState {
  readonly source: SourceKind | null;
  readonly phase: 'idle' | 'opening' | 'running' | 'ended';
  readonly problem: Problem | null;
  readonly input: InputFacts | null;
  readonly devices: readonly { readonly id: string; readonly label: string }[];
  readonly latest: Latest | null;
  /** The learnt strike and the figures of the last ones, as of the last `listenCloser`; null before one is learnt. */
  readonly heard: HeardSignal | null;
  /** Asks anew for `heard`: about once a second, by who shows it. */
  listenCloser(): Promise<void>;
  /** Speed to show: null when not following or when the last strike is older than a few intervals. */
  readonly rpm: number | null;
  readonly rpmSd: number | null;
  readonly trace: TraceView;
  listDevices(): Promise<void>;
  startLine(deviceId: string | null): Promise<void>;
  startFile(file: File, paced: 'fast' | 'real time'): Promise<void>;
  startPractice(): Promise<void>;
  stop(): Promise<void>;
  setChannel(channel: number): void;
  /** Which channel carries the clamp, from 0. */
  readonly channel: number;
  /** What strikes are counted by; to be called whenever the job's engine changes. */
  setEngine(engine: AnalysisEngine): void;
  /** The run that the trace (and the sound) is put away for; null: none. A run's trace starts at time 0 here, and goes
   * on with the next source if this one ends. */
  keepFor(runId: string | null, keepSound: boolean): Promise<void>;
  /** The practice engine's controls; null unless it runs. */
  readonly practice: PracticeControls | null;
}

export interface PracticeControls {
  readonly throttle: number;
  readonly housingDeg: number;
  readonly springsId: string;
  readonly stopId: string;
  readonly springChoices: readonly { readonly id: string; readonly label: string }[];
  readonly stopChoices: readonly { readonly id: string; readonly label: string }[];
  /** Where the lit mark stands against the tape, crank degrees before TDC; null before the first strike. */
  readonly markDeg: number | null;
  setThrottle(share: number): void;
  /** The patient helper at the throttle: holds this speed; null lets go. */
  holdSpeed(rpm: number | null): void;
  setHousing(deg: number): void;
  fit(springsId: string, stopId: string): void;
}

/** A moment pinned, waiting for its degrees. */
export interface PinnedMoment {
  readonly at: string;
  readonly timeS: number | null;
  readonly rpm: number;
  readonly rpmSd: number | null;
  readonly steady: boolean | null;
}

export interface HoldView {
  /** The speed to hold now; null when every step has its reading or no list is set. */
  readonly stepRpm: number | null;
  /** The speed is inside the band of this step and steady. */
  readonly steady: boolean;
  /** Signed distance to the step, rpm; null without a speed. */
  readonly offRpm: number | null;
  /** Seconds it has been steady. */
  readonly heldS: number;
  readonly stepsDone: number;
  readonly stepsAll: number;
}

/** The job, its runs and readings; everything is stored as it happens. */
export interface JobState {
  /** null until the store has answered. */
  readonly job: Job | null;
  readonly jobs: readonly { readonly id: string; readonly name: string; readonly changedAt: string }[];
  /** The run that readings go to; null between runs. */
  readonly run: Run | null;
  /** The run on show in Result: the open one, or the one chosen. */
  readonly shown: Run | null;
  readonly pinned: PinnedMoment | null;
  readonly hold: HoldView;
  /** The fit of the run on show, corrections applied; null with too few readings. */
  readonly fit: CurveFit | null;
  readonly canUndo: boolean;
  readonly problem: Problem | null;
  newJob(name: string): Promise<void>;
  openJob(id: string): Promise<void>;
  removeJob(id: string): Promise<void>;
  change(
    patch: Partial<Omit<Job, 'format' | 'version' | 'id' | 'createdAt' | 'engine' | 'setUps' | 'runs'>>,
  ): void;
  changeEngine(patch: Partial<EngineFacts>): void;
  addSetUp(setUp: Omit<SetUp, 'id'>): string;
  changeSetUp(id: string, patch: Partial<Omit<SetUp, 'id'>>): void;
  startRun(setUpId: string | null, keepSound: boolean): Promise<void>;
  endRun(): Promise<void>;
  changeRun(
    id: string,
    patch: Partial<Omit<Run, 'id' | 'startedAt' | 'source' | 'readings' | 'trace'>>,
  ): void;
  removeRun(id: string): void;
  show(runId: string): void;
  /** Pins this moment: speed and spread from the live trace. A typed speed where there is no sound. */
  pin(typedRpm?: number): void;
  unpin(): void;
  /** Gives the pinned moment its degrees as read: a reading is made and stored. */
  read(seenDeg: number, note?: string): void;
  /** Makes what the crank sensor measures now the reading of this moment and its step. */
  readSensor(): void;
  /** Takes what the crank sensor has measured since the run began as its readings, in place of those taken before. */
  takeSensorReadings(): void;
  changeReading(
    id: string,
    patch: Partial<Pick<Reading, 'timeS' | 'rpm' | 'rpmSd' | 'steady' | 'seenDeg' | 'note'>>,
  ): void;
  removeReading(id: string): void;
  undo(): void;
  /** A step chosen by hand, before its turn. */
  chooseStep(rpm: number | null): void;
  saveJobFile(): Promise<void>;
  /** When the open job was last saved as a file, since this page was opened; null: not yet. */
  readonly savedAt: string | null;
  openJobFile(file: File): Promise<void>;
  /** All jobs with their runs, readings and traces as one file; kept sound stays here. */
  saveAllJobs(): Promise<void>;
  /** Puts the jobs of such a file in beside those that are here; none that is here is changed. */
  bringBackJobs(file: File): Promise<void>;
  /** Work on files that is going on; null between. */
  readonly working: LongTask | null;
  exportReadings(runId: string): Promise<void>;
  exportTrace(runId: string): Promise<void>;
  exportSound(runId: string): Promise<void>;
  /** The curve with its readings and target, drawn for paper. */
  exportPlot(runId: string, as: 'svg' | 'png'): Promise<void>;
  /** Whether raw sound was kept for a run. */
  hasSound(runId: string): Promise<boolean>;
  /** A run's whole trace as it stands in the store; empty columns where there is none. */
  traceOf(runId: string): Promise<TraceView>;
  /** A stretch of the raw sound as a WAV, its start in the trace's time; null where none was kept there. */
  soundBetween(runId: string, fromS: number, toS: number): Promise<SoundPiece | null>;
}

/** Where someone stands in the first five minutes. */
export interface GuideMemory {
  /** The job it goes on in. */
  readonly jobId: string;
  readonly isOn: boolean;
  /** What was looked at; all else the job tells. */
  readonly seen: readonly ('target' | 'corners' | 'work' | 'side-by-side')[];
}

/** What the person likes; kept on this machine, not in the job. */
export interface Preferences {
  theme: 'system' | 'sun' | 'night';
  padHand: 'left' | 'right';
  soundSigns: boolean;
  /** Felt in the hand, where the machine can. */
  buzzSigns: boolean;
  keepSound: boolean;
  cautionsSeenAt: string | null;
  /** null: never begun. */
  guide: GuideMemory | null;
}

/** What this machine does for the page. */
export interface HereState {
  /** Whether the page opens without a network. */
  readonly offline: 'ready' | 'not yet' | 'not possible';
  /** null until looked for, and where the browser tells nothing. */
  readonly room: Room | null;
  /** A newer page waits; null while a run goes on. */
  readonly notice: Problem | null;
  /** Asks anew how much room there is. */
  look(): Promise<void>;
  /** Asks the browser not to clear what is kept. */
  askToKeep(): Promise<void>;
}

export interface AppState {
  readonly live: LiveState;
  readonly job: JobState;
  readonly preferences: Preferences;
  readonly here: HereState;
}
