/** What of files takes a machine long: their text to jobs and a job's text, with no regard to where it runs. Files and jobs
 * in, jobs and Blobs out; knows no thread. */
import { LONGEST_BACKUP, parseBackup } from '../../core/files/backup-file';
import { LONGEST_JOB_FILE, parseJob } from '../../core/files/job-file';
import type { Job } from '../../core/job';
import type { TextApi } from './text-api';
import { jobFileText } from './job-text';

const MIB = 2 ** 20;

export class TextBench implements TextApi {
  async readJob(file: Blob): ReturnType<TextApi['readJob']> {
    const problem = tooLong(file, LONGEST_JOB_FILE, 'job file');
    return problem ?? parseJob(await file.text());
  }

  async readBackup(file: Blob): ReturnType<TextApi['readBackup']> {
    const problem = tooLong(file, LONGEST_BACKUP, 'backup');
    return problem ?? parseBackup(await file.text());
  }

  async jobFile(job: Job): Promise<Blob> {
    return new Blob([await jobFileText(job)], { type: 'application/json' });
  }
}

/** By its size alone: nothing of it is read. */
const tooLong = ({ size }: Blob, most: number, what: string): { readonly problem: string } | null =>
  size > most
    ? { problem: `holds ${Math.ceil(size / MIB)} MB where a ${what} has ${most / MIB} MB at most` }
    : null;
