/** Folders and names in the browser's private folder, which outlives its store. Threads only: files are opened for
 * themselves. */
import { DATABASE_VERSION } from '../database-version';

/** Copies are of the store's records as this version has them. */
export const COPIES = `copies ${DATABASE_VERSION}`;
export const JOURNAL = 'journal';

const JOB = 'job ';
const TRACE = 'trace ';

export const copyNameOf = (jobId: string): string => `${JOB}${jobId}`;
export const traceNameOf = (runId: string): string => `${TRACE}${runId}`;
/** @returns null where the file is no job's copy */
export const jobIdOf = (name: string): string | null =>
  name.startsWith(JOB) ? name.slice(JOB.length) : null;

export async function folderNamed(name: string): Promise<FileSystemDirectoryHandle> {
  return (await navigator.storage.getDirectory()).getDirectoryHandle(name, { create: true });
}

/** Opened for itself; null where there is none or a living page has it. */
export async function takenFile(
  folder: FileSystemDirectoryHandle,
  name: string,
): Promise<FileSystemSyncAccessHandle | null> {
  try {
    return await (await folder.getFileHandle(name)).createSyncAccessHandle();
  } catch {
    return null;
  }
}

/** Whole lines only: the last one may be half a line. */
export function linesOf(file: FileSystemSyncAccessHandle): string[] {
  const bytes = new Uint8Array(file.getSize());
  file.read(bytes, { at: 0 });
  return new TextDecoder().decode(bytes).split('\n').slice(0, -1);
}
