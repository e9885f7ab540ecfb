/** The job: one engine's file, as plain data. What it holds; how it is read and checked stands in job-file.ts. */
import type { EngineFacts } from './engine';

export const JOB_FORMAT = 'clampline-job';
export const JOB_VERSION = 1;

export interface Job {
  readonly format: typeof JOB_FORMAT;
  readonly version: typeof JOB_VERSION;
  readonly id: string;
  readonly name: string;
  /** ISO 8601, UTC */
  readonly createdAt: string;
  readonly engine: EngineFacts;
  readonly target: Target | null;
  readonly steps: StepList;
  /** Taken over by each new run. */
  readonly corrections: Corrections;
  readonly setUps: readonly SetUp[];
  readonly runs: readonly Run[];
  readonly notes: string;
}

/** The curve wanted: straight lines between corners, level outside them; and how far off still passes. */
export interface Target {
  readonly corners: readonly TargetCorner[];
  readonly bandDeg: number;
}
export interface TargetCorner {
  readonly rpm: number;
  readonly advanceDeg: number;
}

/** The speeds to hold, one after the other. */
export interface StepList {
  readonly startRpm: number;
  readonly endRpm: number;
  readonly spacingRpm: number;
}

/** What stands between the number read and the advance. */
export interface Corrections {
  /** What the tape shows at true top dead centre, crank degrees, positive before. */
  readonly tapeZeroErrorDeg: number;
  /** A fixed delay of the light, microseconds: it reads as false retard that grows with speed. */
  readonly lightDelayUs: number;
}

/** What was fitted to the distributor. */
export interface SetUp {
  readonly id: string;
  readonly name: string;
  readonly springs: string;
  readonly stop: string;
  readonly vacuumLine: 'plugged' | 'connected' | 'none';
  readonly notes: string;
}

/** One sweep of readings with one set-up. */
export interface Run {
  readonly id: string;
  readonly setUpId: string | null;
  readonly startedAt: string;
  readonly source: 'line input' | 'recording' | 'practice engine' | 'typed by hand';
  readonly corrections: Corrections;
  readonly readings: readonly Reading[];
  readonly trace: TraceColumns | null;
  readonly notes: string;
}

/** An advance that a person read off the light, with the speed at that moment. */
export interface Reading {
  readonly id: string;
  /** ISO 8601, UTC */
  readonly at: string;
  /** Seconds on the run's trace; null where there was no sound. */
  readonly timeS: number | null;
  readonly rpm: number;
  /** Spread of the speed over the stretch in which the mark was read; null where the speed was typed. */
  readonly rpmSd: number | null;
  /** Crank degrees as read off the tape or dial, before any correction; positive before TDC. */
  readonly seenDeg: number;
  /** false: the speed moved while the mark was read; null: not known (typed by hand). */
  readonly steady: boolean | null;
  /** The step that was asked for; null where none was. */
  readonly stepRpm: number | null;
  readonly note: string;
}

/** Engine speed against time. Columns of equal length; a null speed is a gap. */
export interface TraceColumns {
  readonly timeS: readonly number[];
  readonly rpm: readonly (number | null)[];
  readonly rpmSd: readonly (number | null)[];
}
