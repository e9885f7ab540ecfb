/** What the thread for the texts of files is asked. */
import type { parseBackup } from '../../core/files/backup-file';
import type { JobFile } from '../../core/files/job-file';
import type { Job } from '../../core/job';

export interface TextApi {
  /** @returns the job, or what is wrong as a sentence that goes on from the file's name
   *  @throws what the browser refused to read */
  readJob(file: Blob): Promise<JobFile>;
  readBackup(file: Blob): Promise<ReturnType<typeof parseBackup>>;
  /** The job file, traces read from the store. @throws what the store refused */
  jobFile(job: Job): Promise<Blob>;
}
