/** The journal's thread: appends entries to a file of this page's own in the browser's private folder, where a write is in
 * the system's hands as soon as the call is back. The file of a page that died is free to be read by the next. */
import { expose } from 'comlink';
import { beat } from '../worker/heart';
import { JobCopy, writeCopy } from './private/job-copy';
import type { JournalApi } from './journal-api';
import {
  COPIES,
  copyNameOf,
  folderNamed,
  jobIdOf,
  JOURNAL,
  linesOf,
  takenFile,
  traceNameOf,
} from './private/folder';
import { readTraceCopy } from './private/trace-copy';

/** Entries wait only while the store refuses; beyond this no more are written ahead. */
const LARGEST_BYTES = 8 * 2 ** 20;

/** Those that are not there, or that another page writes, are let be. */
async function removeCopies(names: readonly string[]): Promise<void> {
  const folder = await folderNamed(COPIES);
  for (const name of names) await folder.removeEntry(name).catch(() => undefined);
}

class JournalFile implements JournalApi {
  #own: FileSystemSyncAccessHandle | null = null;
  #left: { readonly name: string; readonly handle: FileSystemSyncAccessHandle }[] = [];
  readonly #waiting = new Set<number>();
  #size = 0;
  readonly #copy = new JobCopy();

  async open(): Promise<readonly string[]> {
    const folder = await folderNamed(JOURNAL);
    for await (const name of folder.keys()) {
      const handle = await takenFile(folder, name);
      if (handle) this.#left.push({ name, handle });
    }
    const file = await folder.getFileHandle(crypto.randomUUID(), { create: true });
    this.#own = await file.createSyncAccessHandle();
    return this.#left.flatMap(({ handle }) => linesOf(handle));
  }

  async forgetLeft(): Promise<void> {
    const folder = await folderNamed(JOURNAL);
    for (const { name, handle } of this.#left.splice(0)) {
      handle.close();
      await folder.removeEntry(name).catch(() => undefined);
    }
  }

  add(number: number, jobId: string, entry: string): void {
    this.#copy.add(jobId, entry);
    if (!this.#own || this.#size > LARGEST_BYTES) return;
    this.#waiting.add(number);
    this.#size += this.#own.write(new TextEncoder().encode(`${entry}\n`), { at: this.#size });
    this.#own.flush();
  }

  done(number: number): void {
    this.#waiting.delete(number);
    if (!this.#own || this.#waiting.size > 0 || this.#size === 0) return;
    this.#size = 0;
    this.#own.truncate(0);
  }

  hold(jobId: string, whole: string): void {
    this.#copy.hold(jobId, whole);
  }

  letGo(): void {
    this.#copy.letGo();
  }

  async forget(jobId: string, runIds: readonly string[]): Promise<void> {
    if (this.#copy.jobId === jobId) this.#copy.letGo();
    await removeCopies([copyNameOf(jobId), ...runIds.map(traceNameOf)]);
  }

  forgetRuns(runIds: readonly string[]): Promise<void> {
    return removeCopies(runIds.map(traceNameOf));
  }

  async copiedJobs(): Promise<readonly string[]> {
    const jobIds: string[] = [];
    for await (const name of (await folderNamed(COPIES)).keys()) {
      const jobId = jobIdOf(name);
      if (jobId !== null) jobIds.push(jobId);
    }
    return jobIds;
  }

  async jobCopy(jobId: string): Promise<readonly string[]> {
    const file = await takenFile(await folderNamed(COPIES), copyNameOf(jobId));
    if (!file) return [];
    const lines = linesOf(file);
    file.close();
    return lines;
  }

  traceCopy = readTraceCopy;
  writeCopy = writeCopy;
}

expose(new JournalFile());
beat();
