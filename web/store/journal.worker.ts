/** The journal's thread: appends entries to a file of this page's own in the browser's private folder, where a write is in
 * the system's hands as soon as the call is back. The file of a page that died is free to be read by the next. */
import { expose } from 'comlink';
import { beat } from '../worker/heart';
import type { JournalApi } from './journal-api';

const FOLDER = 'journal';
/** Entries wait only while the store refuses; beyond this no more are written ahead. */
const LARGEST_BYTES = 8 * 2 ** 20;

class JournalFile implements JournalApi {
  #own: FileSystemSyncAccessHandle | null = null;
  #left: { readonly name: string; readonly handle: FileSystemSyncAccessHandle }[] = [];
  readonly #waiting = new Set<number>();
  #size = 0;

  async open(): Promise<readonly string[]> {
    const folder = await this.#folder();
    for await (const [name, entry] of folder.entries()) {
      if (entry.kind !== 'file') continue;
      // Refused while the page that writes it is alive.
      const handle = await (entry as FileSystemFileHandle).createSyncAccessHandle().catch(() => null);
      if (handle) this.#left.push({ name, handle });
    }
    const file = await folder.getFileHandle(crypto.randomUUID(), { create: true });
    this.#own = await file.createSyncAccessHandle();
    return this.#left.flatMap(({ handle }) => linesOf(handle));
  }

  async forgetLeft(): Promise<void> {
    const folder = await this.#folder();
    for (const { name, handle } of this.#left.splice(0)) {
      handle.close();
      await folder.removeEntry(name).catch(() => undefined);
    }
  }

  add(number: number, entry: string): void {
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

  #folder = async (): Promise<FileSystemDirectoryHandle> =>
    (await navigator.storage.getDirectory()).getDirectoryHandle(FOLDER, { create: true });
}

/** Whole lines only: the last one may be half a line. */
function linesOf(handle: FileSystemSyncAccessHandle): string[] {
  const bytes = new Uint8Array(handle.getSize());
  handle.read(bytes, { at: 0 });
  return new TextDecoder().decode(bytes).split('\n').slice(0, -1);
}

expose(new JournalFile());
beat();
