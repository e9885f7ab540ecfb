/** A new job: what is common to most engines, nothing claimed that nobody said. */
import type { EngineFacts } from './engine';
import { JOB_FORMAT, JOB_VERSION, type Corrections, type Job, type Limits, type StepList } from './job';

export const NEW_ENGINE: EngineFacts = {
  strokes: 4,
  cylinders: 8,
  pickup: 'plug',
  rotorSense: null,
  idleRpm: null,
  damperDiameterMm: null,
  housingDiameterMm: null,
  strokeMm: null,
  rodMm: null,
  crankSensor: null,
  traits: { compression: null, camDuration: null, weight: null, gearing: null, converter: null },
};

/** From a usual idle to where the advance has stopped rising on most engines, close enough to find the corners.
 * @source Common practice: rev to 3500-4000 rpm, or to wherever the advance stops rising */
const NEW_STEPS: StepList = { startRpm: 750, endRpm: 4000, spacingRpm: 250 };

const NO_CORRECTIONS: Corrections = { tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 0 };

export const NO_LIMITS: Limits = { mostTotalDeg: null, mostIdleDeg: null, mostCruiseDeg: null };

/** What a reading off the light says of itself. */
export const BY_LIGHT = { by: 'light', scatterDeg: null, sparks: null, sweep: null } as const;

/** A set-up of which none of the owned parts is known. */
export const NO_PARTS = { firstSpringId: null, secondSpringId: null, stopId: null } as const;

/** What a run holds beside its readings and its trace before anything was said. */
export const NOTHING_NOTED = {
  vacuumReadings: [],
  dwellReadings: [],
  knocks: [],
  weather: '',
  fuel: '',
  notes: '',
} as const;

/** Makes an empty job.
 * @param id one that no other job has
 * @param createdAt ISO 8601, UTC */
export function newJob({ id, name, createdAt }: Pick<Job, 'id' | 'name' | 'createdAt'>): Job {
  return {
    format: JOB_FORMAT,
    version: JOB_VERSION,
    id,
    name,
    createdAt,
    engine: NEW_ENGINE,
    target: null,
    steps: NEW_STEPS,
    corrections: NO_CORRECTIONS,
    setUps: [],
    parts: { springs: [], stops: [] },
    limits: NO_LIMITS,
    tdcProofs: [],
    runs: [],
    log: [],
    notes: '',
  };
}
