/** A job file's text to a job, or one plain sentence why not; and a job to text. Nothing here touches a disk. */
import * as v from 'valibot';
import { JOB_FORMAT, JOB_VERSION, type Job } from '../job';
import { migrate, type RawJob } from './job-migrations';
import { jobSchema } from './job-schema';

export type JobFile = { readonly job: Job } | { readonly problem: string };

/** The longest job file that is read, in characters: hours of trace. */
export const LONGEST_JOB_FILE = 256 * 2 ** 20;

/** Levels of lists and fields within one another that are read: a job has eight, the rest is for fields not known here. */
export const DEEPEST_JOB_FILE = 100;

/** Reads a job file. The job is the file's own data, so fields that this version does not know stay in it at every
 * level, and are written again.
 * @returns the job, or what is wrong as a sentence that goes on from the file's name */
export function parseJob(text: string): JobFile {
  if (text.length > LONGEST_JOB_FILE)
    return {
      problem: `is longer than the ${LONGEST_JOB_FILE / 2 ** 20} million characters that a job file may have`,
    };
  let data: unknown;
  try {
    data = JSON.parse(text.startsWith('\uFEFF') ? text.slice(1) : text);
  } catch {
    return { problem: whyNotJson(text, JOB_FORMAT, 'job file') };
  }
  return checkJob(data);
}

/** The same for data that was read already, as from a store. */
export function checkJob(data: unknown): JobFile {
  if (!isObject(data) || data['format'] !== JOB_FORMAT)
    return { problem: `is not a Clampline job file: format "${JOB_FORMAT}" was wanted` };
  const { version } = data;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1)
    return { problem: `does not say which version of job file it is; a whole number from 1 was wanted` };
  if (version > JOB_VERSION)
    return {
      problem: `was written by a later Clampline: it is a job file of version ${version}, and this one reads up to version ${JOB_VERSION}`,
    };
  if (isDeeperThan(data, DEEPEST_JOB_FILE))
    return { problem: `is damaged: its fields stand more than ${DEEPEST_JOB_FILE} deep within one another` };
  const job = migrate(data);
  const { issues } = v.safeParse(jobSchema, job, { abortEarly: true });
  const problem = issues ? sentence(issues[0]) : inconsistency(job as unknown as Job);
  return problem === null ? { job: job as unknown as Job } : { problem };
}

/** Writes a job as JSON to be read by people too: a field a line, a trace's column on one line.
 * @returns text that `parseJob` reads back equal, unknown fields with it */
export const serialiseJob = (job: Job): string => `${written(job, '')}\n`;

const isObject = (value: unknown): value is RawJob =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Why a text that was to be a file of ours is no JSON, going on from the file's name.
 * @param format what such a file calls itself @param kind the same for people */
export function whyNotJson(text: string, format: string, kind: 'job file' | 'backup'): string {
  if (!text.includes(format)) return `is not a Clampline ${kind}: it is not JSON`;
  return isCutShort(text)
    ? `is cut short: the end of the ${kind === 'backup' ? kind : 'job'} is missing`
    : `is damaged: it is a Clampline ${kind}, but no longer whole JSON`;
}

const [QUOTE, BACKSLASH] = [0x22, 0x5c];

/** Whether a string is still open at the end of the text, or more brackets were opened than closed. A loop, as a text of
 * many megabytes between two quotes is too long for a pattern. */
function isCutShort(text: string): boolean {
  let open = 0;
  let inString = false;
  for (let i = 0; i < text.length; i++) {
    const sign = text.charCodeAt(i);
    if (sign === QUOTE) inString = !inString;
    else if (inString) i += sign === BACKSLASH ? 1 : 0;
    else if (sign === 0x7b || sign === 0x5b) open++;
    else if (sign === 0x7d || sign === 0x5d) open--;
  }
  return inString || open > 0;
}

/** Looks level by level, so that no depth is too much for it, and copies no list: one may hold millions of numbers. */
function isDeeperThan(data: unknown, deepest: number): boolean {
  let level: object[] = typeof data === 'object' && data !== null ? [data] : [];
  for (let depth = 0; level.length > 0; depth++) {
    if (depth >= deepest) return true;
    const next: object[] = [];
    for (const each of level)
      for (const value of Array.isArray(each) ? (each as unknown[]) : Object.values(each))
        if (typeof value === 'object' && value !== null) next.push(value);
    level = next;
  }
  return false;
}

/** Lists and what one of their entries is called. */
const ENTRIES: Readonly<Record<string, string>> = {
  runs: 'run',
  readings: 'reading',
  setUps: 'set-up',
  corners: 'corner',
  vacuumReadings: 'vacuum reading',
  dwellReadings: 'dwell reading',
  knocks: 'knock',
  springs: 'spring',
  stops: 'stop',
  tdcProofs: 'proof',
  log: 'log entry',
};

function sentence(issue: v.InferIssue<typeof jobSchema>): string {
  const path = (issue.path ?? []).map(({ key }) => key as string | number);
  const words = path.flatMap((key, i) => {
    if (typeof key === 'number') return [`${ENTRIES[String(path[i - 1])] ?? 'entry'} ${key + 1}`];
    return typeof path[i + 1] === 'number' ? [] : [key];
  });
  const where = words.join(', ');
  if (issue.input === undefined) return `is damaged: ${where} is missing`;
  return `is damaged: ${where}: ${issue.message}, got ${shown(issue.input)}`;
}

function shown(value: unknown): string {
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (isObject(value)) return 'an object';
  const text = typeof value === 'number' ? String(value) : JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

/** What the shape cannot say: entries are told apart by their ids, and a trace's columns run side by side. */
function inconsistency(job: Job): string | null {
  const lists = [
    ['set-ups', job.setUps],
    ['runs', job.runs],
    ['springs', job.parts.springs],
    ['stops', job.parts.stops],
    ['proofs', job.tdcProofs],
    ['log entries', job.log],
    ...job.runs.flatMap((run, i) => [
      [`readings of run ${i + 1}`, run.readings] as const,
      [`vacuum readings of run ${i + 1}`, run.vacuumReadings] as const,
      [`dwell readings of run ${i + 1}`, run.dwellReadings] as const,
      [`knocks of run ${i + 1}`, run.knocks] as const,
    ]),
  ] as const;
  for (const [name, entries] of lists) {
    const twice = repeated(entries.map((entry) => entry.id));
    if (twice !== null) return `is damaged: two ${name} have the id "${twice}"`;
  }
  const uneven = job.runs.findIndex(
    ({ trace }) =>
      trace && (trace.rpm.length !== trace.timeS.length || trace.rpmSd.length !== trace.timeS.length),
  );
  return uneven === -1 ? null : `is damaged: run ${uneven + 1}, trace: its columns are not equally long`;
}

function repeated(ids: readonly string[]): string | null {
  const seen = new Set<string>();
  return ids.find((id) => seen.size === seen.add(id).size) ?? null;
}

function written(value: unknown, indent: string): string {
  const inner = `${indent}  `;
  if (Array.isArray(value)) {
    if (value.every((entry) => typeof entry !== 'object' || entry === null)) return JSON.stringify(value);
    return `[\n${value.map((entry) => inner + written(entry, inner)).join(',\n')}\n${indent}]`;
  }
  if (!isObject(value)) return JSON.stringify(value) ?? 'null';
  const fields = Object.entries(value).filter(([, field]) => field !== undefined);
  if (fields.length === 0) return '{}';
  return `{\n${fields.map(([key, field]) => `${inner}${JSON.stringify(key)}: ${written(field, inner)}`).join(',\n')}\n${indent}}`;
}
