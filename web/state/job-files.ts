/** Files for the person: what to save and what was opened, in sentences where it cannot be. Changes no job. */
import type { Job, Run } from '../../core/job';
import { backupOfAll, bringBack, broughtBackWords, type BackupText } from '../files/backup';
import { importJob, type ImportedJob } from '../files/job-files';
import { backupFileName, jobFileName, runFileName } from '../files/names';
import { CSV_TYPE, readingsCsv, soundWavs, traceCsv, WAV_TYPE } from '../files/run-files';
import { PLOT_TYPES, plotFile } from '../files/plot-files';
import { countText } from '../format';
import { saveFile, type FileToSave } from '../files/save-file';
import { withTexts } from '../files/text-thread';
import { storeProblem } from '../store/database';
import { hasSound, traceEndS } from '../store/trace-store';
import type { LongTask } from './long-task.svelte';

const TYPES: Readonly<Record<string, string>> = {
  json: 'application/json',
  csv: CSV_TYPE,
  wav: WAV_TYPE,
  ...PLOT_TYPES,
};

type Save = (file: FileToSave) => Promise<boolean>;

export class JobFiles {
  readonly #say: (text: string) => void;
  readonly #save: Save;

  /** @param say told a sentence where something cannot be done */
  constructor(say: (text: string) => void, save: Save = saveFile) {
    this.#say = say;
    this.#save = save;
  }

  /** @returns whether it was saved: a person may think better of it */
  job(job: Job): Promise<boolean> {
    const content = withTexts((texts) => texts.jobFile(job));
    return this.#put('The job file', jobFileName(job.name), 'Clampline job', content);
  }

  async readings(job: Job, run: Run): Promise<void> {
    if (run.readings.length === 0) return this.#say('This run has no readings to save.');
    const name = runFileName(job.name, run, 'readings.csv');
    await this.#put('The readings', name, 'Readings as a table', Promise.resolve(readingsCsv(run)));
  }

  async trace(job: Job, run: Run, task: LongTask): Promise<void> {
    await this.#try('The trace', async () => {
      if ((await traceEndS(run.id)) === null) return this.#say('This run has no trace to save.');
      const content = traceCsv(run.id, task.step).then((blob) => blob ?? new Blob([], { type: CSV_TYPE }));
      await this.#put('The trace', runFileName(job.name, run, 'trace.csv'), 'Trace as a table', content);
    });
  }

  /** Where the source changed in mid-run there are several recordings: those behind the first are numbered. */
  async sound(job: Job, run: Run, task: LongTask): Promise<void> {
    await this.#try('The sound', async () => {
      if (!(await hasSound(run.id))) return this.#say('No sound was kept for this run.');
      const all = soundWavs(run.id, task.step);
      const put = (wav: Promise<Blob>, what: string): Promise<boolean> =>
        this.#put('The sound', runFileName(job.name, run, what), 'Recording', wav);
      // The place is asked for first: a browser lets a page ask only shortly after a tap.
      if (
        !(await put(
          all.then(([first]) => first!),
          'sound.wav',
        ))
      )
        return;
      for (const [i, wav] of (await all).slice(1).entries())
        await put(Promise.resolve(wav), `sound-${i + 2}.wav`);
    });
  }

  async plot(job: Job, run: Run, as: 'svg' | 'png', task: LongTask): Promise<void> {
    const name = runFileName(job.name, run, `curve.${as}`);
    await this.#put('The plot', name, 'Plot', plotFile(job, run, as, task.step));
  }

  /** Every job of the store as one file; what came of it is said. */
  async backup(savedAt: string, task: LongTask): Promise<void> {
    let made: BackupText | null = null;
    const content = backupOfAll(savedAt, task.step).then((text) => (made = text).blob);
    const isSaved = await this.#put('All jobs', backupFileName(savedAt), 'Clampline backup', content);
    if (isSaved && made) this.#say(`${countText((made as BackupText).count, 'job')} saved in one file.`);
  }

  /** @returns whether any job came in */
  async bringBack(
    file: File,
    ids: { readonly newId: () => string; readonly now: () => string },
    task: LongTask,
  ): Promise<boolean> {
    const came = await this.#try('The file', () => bringBack(file, { ...ids, step: task.step }));
    if (came) this.#say('refusal' in came ? came.refusal : broughtBackWords(came));
    return came !== null && 'added' in came;
  }

  async open(file: File, newId: () => string): Promise<ImportedJob | null> {
    const read = await this.#try('The file', () => importJob(file, newId));
    if (!read || !('problem' in read)) return read;
    this.#say(read.problem);
    return null;
  }

  async #put(what: string, name: string, description: string, content: Promise<Blob>): Promise<boolean> {
    const mimeType = TYPES[name.slice(name.lastIndexOf('.') + 1)] ?? 'application/octet-stream';
    return (await this.#try(what, () => this.#save({ name, description, mimeType, content }))) === true;
  }

  async #try<T>(what: string, act: () => Promise<T>): Promise<T | null> {
    try {
      return await act();
    } catch (error) {
      this.#say(`${what} could not be saved or read: ${reason(error)}`);
      return null;
    }
  }
}

/** Names of errors that carry a sentence of our own; the browser's refusals have others, from a thread as well. */
const WITH_WORDS: ReadonlySet<string> = new Set(['Error', 'RangeError', 'TypeError']);

function reason(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  return WITH_WORDS.has(error.name) ? error.message : storeProblem(error);
}
