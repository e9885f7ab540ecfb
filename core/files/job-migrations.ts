/** Job files of older versions brought up to this one, one version at a time. Plain data in and out. */
import { JOB_VERSION } from '../job';

/** A job file as read, of whatever version, not checked yet. */
export type RawJob = Readonly<Record<string, unknown>>;

/** Brings a job from one version to the next. It keeps every field that it does not know, and sets `version`. */
export type Migration = (job: RawJob) => RawJob;

const isObject = (value: unknown): value is RawJob =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** One field with more in it. */
function withMore(job: RawJob, field: string, more: RawJob): RawJob {
  const value = job[field];
  return isObject(value) ? { [field]: { ...more, ...value } } : {};
}

/** One list with each entry changed. */
function withEach(job: RawJob, field: string, change: (entry: RawJob) => RawJob): RawJob {
  const list: unknown = job[field];
  if (!Array.isArray(list)) return {};
  return { [field]: list.map((entry: unknown) => (isObject(entry) ? change(entry) : entry)) };
}

/** Version 2 knows parts, limits, proofs of top dead centre, a log, knock, vacuum, dwell and a crank sensor: version 1
 * said nothing of them, and nothing is claimed. What is no object or list is left as it is, for the check to name. */
export const readingFrom1 = (reading: RawJob): RawJob => ({
  ...{ by: 'light', scatterDeg: null, sparks: null, sweep: null },
  ...reading,
});

const NOT_PROVED: RawJob = { tapeZeroSdDeg: null };

/** A run with or without its readings. */
export const runFrom1 = (run: RawJob): RawJob => ({
  ...{ vacuumReadings: [], dwellReadings: [], knocks: [], weather: '', fuel: '' },
  ...run,
  ...withMore(run, 'corrections', NOT_PROVED),
  ...withEach(run, 'readings', readingFrom1),
});

/** A job with or without its runs. */
export const jobFrom1: Migration = (job) => ({
  parts: { springs: [], stops: [] },
  limits: { mostTotalDeg: null, mostIdleDeg: null, mostCruiseDeg: null },
  tdcProofs: [],
  log: [],
  ...job,
  version: 2,
  ...withMore(job, 'corrections', NOT_PROVED),
  ...withMore(job, 'engine', { strokeMm: null, rodMm: null, crankSensor: null }),
  ...withEach(job, 'setUps', (setUp) => ({
    ...{ firstSpringId: null, secondSpringId: null, stopId: null },
    ...setUp,
  })),
  ...withEach(job, 'runs', runFrom1),
});

/** One migration for each version ever shipped but the present: the key is the version that it starts from. */
export const MIGRATIONS: ReadonlyMap<number, Migration> = new Map([[1, jobFrom1]]);

/** Takes a job up to `toVersion`.
 * @throws RangeError if a migration on the way is missing or does not arrive at the version after its own */
export function migrate(
  job: RawJob,
  toVersion: number = JOB_VERSION,
  migrations: ReadonlyMap<number, Migration> = MIGRATIONS,
): RawJob {
  let present = job;
  for (let version = Number(job['version']); version < toVersion; version++) {
    const migration = migrations.get(version);
    if (!migration) throw new RangeError(`a migration from version ${version} was wanted, there is none`);
    present = migration(present);
    if (present['version'] !== version + 1)
      throw new RangeError(`the migration from version ${version} must arrive at ${version + 1}`);
  }
  return present;
}
