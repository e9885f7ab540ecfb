/** All jobs as one file and back: the text of each job in, the backup's pieces out; a backup's text in, its jobs out, each
 * read by itself so that one that is damaged does not take the others with it. */
import type { Job } from '../job';
import { checkJob, LONGEST_JOB_FILE, whyNotJson } from './job-file';

export const BACKUP_FORMAT = 'clampline-backup';
export const BACKUP_VERSION = 1;
/** In characters: beyond this a browser cannot be relied on to read it back as one text. */
export const LONGEST_BACKUP = LONGEST_JOB_FILE;

/** A backup before its first job, between two jobs, and behind the last. */
export interface BackupFrame {
  readonly head: string;
  readonly between: string;
  readonly foot: string;
}

/** What stands round the texts of `serialiseJob`.
 * @param savedAt ISO 8601, UTC
 * @param count of the jobs in it: a backup that holds another number has been changed */
export const backupFrame = (savedAt: string, count: number): BackupFrame => ({
  head: `{\n"format": "${BACKUP_FORMAT}",\n"version": ${BACKUP_VERSION},\n"savedAt": ${JSON.stringify(savedAt)},\n"count": ${count},\n"jobs": [\n`,
  between: ',\n',
  foot: ']\n}\n',
});

export interface Backup {
  readonly savedAt: string;
  readonly jobs: readonly Job[];
  /** Of those that are damaged: which one, and what is wrong, each going on from the file's name. */
  readonly refused: readonly string[];
}

/** Reads a backup.
 * @returns its jobs, or what is wrong with it as a whole as a sentence that goes on from the file's name */
export function parseBackup(text: string): Backup | { readonly problem: string } {
  if (text.length > LONGEST_BACKUP)
    return {
      problem: `is longer than the ${LONGEST_BACKUP / 2 ** 20} million characters that a backup may have`,
    };
  let data: unknown;
  try {
    data = JSON.parse(text.startsWith('\uFEFF') ? text.slice(1) : text);
  } catch {
    return { problem: whyNotJson(text, BACKUP_FORMAT, 'backup') };
  }
  const problem = whyNoBackup(data);
  return problem === null ? jobsOf(data as RawBackup) : { problem };
}

interface RawBackup {
  readonly savedAt: string;
  readonly jobs: readonly unknown[];
}

function whyNoBackup(data: unknown): string | null {
  const isObject = typeof data === 'object' && data !== null && !Array.isArray(data);
  const raw = (isObject ? data : {}) as Readonly<Record<string, unknown>>;
  if (raw['format'] !== BACKUP_FORMAT)
    return `is not a Clampline backup: format "${BACKUP_FORMAT}" was wanted; a file of one job is opened by “Open a job file”`;
  const { version, savedAt, count, jobs } = raw;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1)
    return 'does not say which version of backup it is; a whole number from 1 was wanted';
  if (version > BACKUP_VERSION)
    return `was written by a later Clampline: it is a backup of version ${version}, and this one reads up to version ${BACKUP_VERSION}`;
  if (typeof savedAt !== 'string' || Number.isNaN(Date.parse(savedAt)))
    return 'is damaged: savedAt does not say when it was saved';
  if (!Array.isArray(jobs)) return 'is damaged: jobs: a list was wanted';
  return count === jobs.length ? null : `is damaged: it holds ${jobs.length} jobs and says another number`;
}

function jobsOf({ savedAt, jobs }: RawBackup): Backup {
  const read = jobs.map(checkJob);
  const refused = read.flatMap((each, i) =>
    'problem' in each ? [`job ${i + 1} of ${jobs.length} ${each.problem}`] : [],
  );
  return { savedAt, jobs: read.flatMap((each) => ('job' in each ? [each.job] : [])), refused };
}

/** Whether two pieces of JSON data say the same, in whatever order their fields stand. */
export function sameData(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) || Array.isArray(b))
    return (
      Array.isArray(a) &&
      Array.isArray(b) &&
      a.length === b.length &&
      a.every((each, i) => sameData(each, b[i]))
    );
  const keys = Object.keys(a);
  return (
    keys.length === Object.keys(b).length &&
    keys.every((key) => Object.hasOwn(b, key) && sameData(a[key as keyof typeof a], b[key as keyof typeof b]))
  );
}
