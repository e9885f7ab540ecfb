/** The job: one engine's file, as plain data. What it holds; how it is read and checked stands in job-file.ts. */
import type { EngineFacts } from './engine';

export const JOB_FORMAT = 'clampline-job';
export const JOB_VERSION = 2;

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
  readonly parts: OwnedParts;
  readonly limits: Limits;
  readonly tdcProofs: readonly TdcProof[];
  readonly runs: readonly Run[];
  /** What happened beside the runs, and what came of them. */
  readonly log: readonly LogEntry[];
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
  /** How far off that may be, a standard deviation, crank degrees: one and the same error in every reading. null: true
   * top dead centre was not proved. */
  readonly tapeZeroSdDeg: number | null;
  /** A fixed delay of the light, microseconds: it reads as false retard that grows with speed. */
  readonly lightDelayUs: number;
}

/** What was fitted to the distributor. */
export interface SetUp {
  readonly id: string;
  readonly name: string;
  readonly springs: string;
  readonly stop: string;
  /** Of the parts owned; null where it is none of them or not said. */
  readonly firstSpringId: string | null;
  readonly secondSpringId: string | null;
  readonly stopId: string | null;
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
  readonly vacuumReadings: readonly VacuumReading[];
  readonly dwellReadings: readonly DwellReading[];
  readonly knocks: readonly Knock[];
  readonly trace: TraceColumns | null;
  readonly weather: string;
  readonly fuel: string;
  readonly notes: string;
}

/** An advance, with the speed at that moment: read off the light by a person, or measured against a crank sensor. */
export interface Reading {
  readonly id: string;
  /** ISO 8601, UTC */
  readonly at: string;
  readonly by: 'light' | 'crank sensor';
  /** By a crank sensor: standard deviation of the single sparks, crank degrees, how many they were, and which way the
   * speed went; null by the light. */
  readonly scatterDeg: number | null;
  readonly sparks: number | null;
  readonly sweep: 'up' | 'down' | null;
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

/** An advance against the vacuum at the can, at a speed held. */
export interface VacuumReading {
  readonly id: string;
  /** ISO 8601, UTC */
  readonly at: string;
  /** Below the air outside, 0 or above. */
  readonly vacuumKpa: number;
  /** As read off the tape or dial, before any correction. */
  readonly seenDeg: number;
  /** null: not said */
  readonly rpm: number | null;
  readonly note: string;
}

/** How long the points are closed, distributor degrees. */
export interface DwellReading {
  readonly id: string;
  /** ISO 8601, UTC */
  readonly at: string;
  readonly dwellDeg: number;
  readonly by: 'typed by hand' | 'coil lead';
  /** null: not said */
  readonly gapMm: number | null;
  readonly rpm: number | null;
  readonly note: string;
}

/** Knock heard at a speed. */
export interface Knock {
  readonly id: string;
  /** ISO 8601, UTC */
  readonly at: string;
  readonly rpm: number;
  readonly note: string;
}

/** What the person has to choose from. */
export interface OwnedParts {
  readonly springs: readonly Spring[];
  readonly stops: readonly Stop[];
}

/** A spring is known by a run in which it was fitted, or by what stands here; all null: by runs only. */
export interface Spring {
  readonly id: string;
  readonly name: string;
  /** A mass hung on it and how far it then stretched. */
  readonly hung: { readonly massG: number; readonly stretchMm: number } | null;
  readonly coil: SpringCoil | null;
  readonly notes: string;
}

export interface SpringCoil {
  readonly wireMm: number;
  /** Mean diameter: outside less one wire. */
  readonly coilMm: number;
  readonly activeCoils: number;
  readonly material: SpringMaterial;
}
export type SpringMaterial = 'music wire' | 'oil-tempered wire' | 'stainless steel' | 'phosphor bronze';

export interface Stop {
  readonly id: string;
  readonly name: string;
  /** Crank degrees that it leaves; null: known by runs only. */
  readonly rangeDeg: number | null;
  readonly notes: string;
}

/** What the person does not want exceeded, crank degrees; null: no limit set. */
export interface Limits {
  readonly mostTotalDeg: number | null;
  readonly mostIdleDeg: number | null;
  /** Total and vacuum advance together at cruise. */
  readonly mostCruiseDeg: number | null;
}

/** Readings of the tape from which true top dead centre follows. */
export interface TdcProof {
  readonly id: string;
  /** ISO 8601, UTC */
  readonly at: string;
  /** Turned to a stop both ways; or to the same drop of the piston either side, or to a known drop on one side. */
  readonly method: 'positive stop' | 'dial indicator';
  /** As the tape shows them, positive before its zero. */
  readonly firstDeg: number;
  /** null: read on one side only, at a drop that is known. */
  readonly secondDeg: number | null;
  /** How far off each reading may be, a standard deviation. */
  readonly readingSdDeg: number;
  /** Drop of the piston at the readings; null: by a stop, or not said. */
  readonly dropMm: number | null;
  readonly notes: string;
}

export interface LogEntry {
  readonly id: string;
  /** ISO 8601, UTC */
  readonly at: string;
  readonly kind: 'road' | 'strip' | 'work' | 'note';
  /** The run that it is about; null: none. */
  readonly runId: string | null;
  readonly text: string;
}

/** Engine speed against time. Columns of equal length; a null speed is a gap. */
export interface TraceColumns {
  readonly timeS: readonly number[];
  readonly rpm: readonly (number | null)[];
  readonly rpmSd: readonly (number | null)[];
}
