/** All jobs of the store to one file, and a backup back into the store beside what is there. What is held is never changed. */
import { backupFrame, LONGEST_BACKUP, sameData, type Backup } from '../../core/files/backup-file';
import type { Job } from '../../core/job';
import { countText, dayText } from '../format';
import { type Database, openDatabase, storeProblem } from '../store/database';
import { bookOf, jobOf } from '../store/job-records';
import { listJobs, loadJob, writeBook } from '../store/job-store';
import { besideThoseHere, reading } from './job-files';
import { jobFileText } from './job-text';
import { withTexts } from './text-thread';

/** Called as the work goes on, 0 to 1. @throws where it is to stop */
export type Step = (share: number) => Promise<void>;

export interface BackupText {
  readonly blob: Blob;
  readonly count: number;
}

/** Every job of the store with its runs, readings and traces. Kept sound is not in it.
 * @throws Error if it would be too long to be read back, and what the store refused */
export async function backupOfAll(savedAt: string, step: Step): Promise<BackupText> {
  const db = await openDatabase();
  const ids = (await listJobs(db)).map(({ id }) => id);
  const files = await withTexts(async (texts) => {
    const made: Blob[] = [];
    for (const [i, id] of ids.entries()) {
      await step(i / ids.length);
      const book = await loadJob(db, id);
      if (book) made.push(await texts.jobFile(jobOf(book)));
    }
    return made;
  });
  const { head, between, foot } = backupFrame(savedAt, files.length);
  const parts = [head, ...files.flatMap((text, i) => (i ? [between, text] : [text])), foot];
  const blob = new Blob(parts, { type: 'application/json' });
  if (blob.size > LONGEST_BACKUP)
    throw new Error(
      `the jobs together are longer than the ${LONGEST_BACKUP / 2 ** 20} MB that a backup may have; save the job files one by one.`,
    );
  return { blob, count: files.length };
}

async function storedText(db: Database, id: string): Promise<string | null> {
  const book = await loadJob(db, id);
  return book && jobFileText(jobOf(book));
}

export interface BroughtBack {
  readonly added: number;
  readonly same: number;
  /** Names of those that are here in another state: both are kept. */
  readonly copies: readonly string[];
  readonly refused: readonly string[];
  /** Jobs that were not come to: it was stopped, or the store refused. */
  readonly left: number;
  /** Why the store took no more; null where it did. */
  readonly problem: string | null;
}

export interface BringBackOptions {
  readonly newId: () => string;
  readonly now: () => string;
  readonly step: Step;
}

/** Puts the jobs of a backup in beside those here, each whole or not at all. One that is here with the same content is
 * passed over; one that is here with another comes as a copy.
 * @returns what came of each, or why the file is none, as a sentence */
export async function bringBack(
  file: File,
  options: BringBackOptions,
): Promise<BroughtBack | { readonly refusal: string }> {
  const backup = await reading(file, () => withTexts((texts) => texts.readBackup(file)));
  if ('problem' in backup) return { refusal: `${file.name} ${backup.problem}. Nothing was changed.` };
  const done = { added: 0, same: 0, copies: [] as string[] };
  let problem: string | null = null;
  try {
    for (const [i, job] of backup.jobs.entries()) {
      await options.step(i / backup.jobs.length);
      await bringOne(job, backup, options, done);
    }
  } catch (error) {
    const isStopped = error instanceof Error && error.name === 'AbortError';
    problem = isStopped ? 'It was stopped.' : storeProblem(error);
  }
  const left = backup.jobs.length - done.added - done.same - done.copies.length;
  return { ...done, refused: backup.refused, left, problem };
}

async function bringOne(
  job: Job,
  { savedAt }: Backup,
  { newId, now }: BringBackOptions,
  done: { added: number; same: number; copies: string[] },
): Promise<void> {
  const db = await openDatabase();
  const held = await storedText(db, job.id);
  if (held !== null && sameData(JSON.parse(held), job)) {
    done.same++;
    return;
  }
  const name = held === null ? job.name : `${job.name} (backup of ${dayText(savedAt)})`;
  const { job: fitting, traces } = await besideThoseHere({ ...job, name }, newId);
  const jobs = await listJobs(db);
  const below = jobs.reduce((least, { order }) => Math.min(least, order), 1) - 1; // the job used last stays that
  await writeBook(db, bookOf(fitting, now(), below), traces);
  if (held === null) done.added++;
  else done.copies.push(name);
}

/** What came of it, in a few sentences. */
export function broughtBackWords({ added, same, copies, refused, left, problem }: BroughtBack): string {
  const said = [
    `${countText(added, 'job')} brought back`,
    same ? `${same} here already and the same, passed over` : '',
    copies.length
      ? `${copies.length} here in another state, kept beside it as ${copies.map((name) => `“${name}”`).join(', ')}`
      : '',
    refused.length ? `${refused.length} refused: ${refused.join('; ')}` : '',
    left ? `${left} not come to` : '',
  ].filter(Boolean);
  return [`${said.join('; ')}.`, problem].filter(Boolean).join(' ');
}
