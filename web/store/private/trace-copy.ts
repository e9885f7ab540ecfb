/** The copy of a run's trace beside the store, for the day the browser throws that away: rows of three numbers in a file of
 * the browser's private folder, those that may still change written over. The analysis thread writes, the journal's reads. */
import { COPIES, folderNamed, takenFile, traceNameOf } from './folder';
import type { TraceRowsToKeep } from '../trace-store';

const COLUMNS = 3;
const ROW_BYTES = COLUMNS * Float64Array.BYTES_PER_ELEMENT;

interface Open {
  readonly runId: string;
  readonly file: FileSystemSyncAccessHandle;
  /** Where rows for good end, bytes. */
  end: number;
}

export class TraceCopy {
  #open: Open | null = null;
  #queue: Promise<void> = Promise.resolve();

  /** Adds rows, then others that stand until the next call. What the browser refuses is let be: it is the copy only. */
  append(runId: string, rows: TraceRowsToKeep, tail: TraceRowsToKeep): void {
    const [good, last] = [bytesOf(rows), bytesOf(tail)];
    this.#queue = this.#queue.then(() => this.#append(runId, good, last)).catch(() => undefined);
  }

  async #append(runId: string, good: Uint8Array<ArrayBuffer>, last: Uint8Array<ArrayBuffer>): Promise<void> {
    const open = await this.#of(runId);
    open.end += open.file.write(good, { at: open.end });
    open.file.write(last, { at: open.end });
    open.file.truncate(open.end + last.length);
    open.file.flush();
  }

  async #of(runId: string): Promise<Open> {
    if (this.#open?.runId === runId) return this.#open;
    this.#open?.file.close();
    this.#open = null;
    const folder = await folderNamed(COPIES);
    const entry = await folder.getFileHandle(traceNameOf(runId), { create: true });
    const file = await entry.createSyncAccessHandle();
    const whole = Math.floor(file.getSize() / ROW_BYTES);
    this.#open = { runId, file, end: whole * ROW_BYTES };
    return this.#open;
  }
}

function bytesOf({ timeS, rpm, rpmSd }: TraceRowsToKeep): Uint8Array<ArrayBuffer> {
  const rows = new Float64Array(COLUMNS * timeS.length);
  for (let i = 0; i < timeS.length; i++) rows.set([timeS[i]!, rpm[i]!, rpmSd[i]!], COLUMNS * i);
  return new Uint8Array(rows.buffer);
}

/** @returns null where there is no copy, or a living page writes it */
export async function readTraceCopy(runId: string): Promise<TraceRowsToKeep | null> {
  const file = await takenFile(await folderNamed(COPIES), traceNameOf(runId));
  if (!file) return null;
  const bytes = new Uint8Array(Math.floor(file.getSize() / ROW_BYTES) * ROW_BYTES);
  file.read(bytes, { at: 0 });
  file.close();
  return rowsOf(new Float64Array(bytes.buffer));
}

/** Times rise: rows that a kill left behind others that were written over go. */
function rowsOf(numbers: Float64Array): TraceRowsToKeep {
  let count = 0;
  while (COLUMNS * count < numbers.length && rises(numbers, count)) count++;
  const column = (c: number): Float64Array =>
    Float64Array.from({ length: count }, (_, i) => numbers[COLUMNS * i + c]!);
  return { timeS: column(0), rpm: column(1), rpmSd: column(2) };
}

const rises = (numbers: Float64Array, row: number): boolean =>
  row === 0 || numbers[COLUMNS * row]! > numbers[COLUMNS * (row - 1)]!;
