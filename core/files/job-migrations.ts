/** Job files of older versions brought up to this one, one version at a time. Plain data in and out. */
import { JOB_VERSION } from '../job';

/** A job file as read, of whatever version, not checked yet. */
export type RawJob = Readonly<Record<string, unknown>>;

/** Brings a job from one version to the next. It keeps every field that it does not know, and sets `version`. */
export type Migration = (job: RawJob) => RawJob;

/** One migration for each version ever shipped but the present: the key is the version that it starts from. Version 1
 * is the first, so there is nothing to bring up yet. */
export const MIGRATIONS: ReadonlyMap<number, Migration> = new Map();

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
