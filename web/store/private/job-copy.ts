/** The copy of the job that is open, in a file of the browser's private folder: a browser that finds its store damaged, as
 * a kill in the middle of a write may leave it, throws all of the store away without a word. First the whole job, then each
 * change behind it. The journal's thread only. */
import { COPIES, copyNameOf, folderNamed } from './folder';

export class JobCopy {
  #jobId: string | null = null;
  /** null while it is being opened, or held by a tab that has not let go of it yet. */
  #file: FileSystemSyncAccessHandle | null = null;
  #size = 0;
  /** What the file does not have yet. */
  #waiting = '';
  #isOpening = false;

  /** Begins the copy of a job anew. @param whole the job as one line of JSON */
  hold(jobId: string, whole: string): void {
    this.letGo();
    this.#jobId = jobId;
    this.#waiting = `${whole}\n`;
    void this.#open();
  }

  /** Adds a change, if it is of the job held. */
  add(jobId: string, change: string): void {
    if (jobId !== this.#jobId) return;
    this.#waiting += `${change}\n`;
    if (this.#file) this.#write(this.#file);
    else void this.#open();
  }

  letGo(): void {
    this.#file?.close();
    this.#file = this.#jobId = null;
    this.#waiting = '';
  }

  get jobId(): string | null {
    return this.#jobId;
  }

  async #open(): Promise<void> {
    if (this.#isOpening || this.#jobId === null) return;
    this.#isOpening = true;
    const jobId = this.#jobId;
    const file = await openFile(jobId).catch(() => null);
    this.#isOpening = false;
    if (jobId !== this.#jobId) {
      file?.close();
      return this.#open(); // another job was opened meanwhile
    }
    if (!file) return; // tried again at the next change
    this.#file = file;
    file.truncate(0);
    this.#size = 0;
    this.#write(file);
  }

  #write(file: FileSystemSyncAccessHandle): void {
    this.#size += file.write(new TextEncoder().encode(this.#waiting), { at: this.#size });
    file.flush();
    this.#waiting = '';
  }
}

async function openFile(jobId: string): Promise<FileSystemSyncAccessHandle> {
  const folder = await folderNamed(COPIES);
  const entry = await folder.getFileHandle(copyNameOf(jobId), { create: true });
  return entry.createSyncAccessHandle();
}

/** Writes the copy of a job that is not open. */
export async function writeCopy(jobId: string, whole: string): Promise<void> {
  const file = await openFile(jobId);
  file.truncate(0);
  file.write(new TextEncoder().encode(`${whole}\n`), { at: 0 });
  file.flush();
  file.close();
}
