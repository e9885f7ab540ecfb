/** The page's copy of the trace: the worker's rows in, whole columns out. It outlives the worker and its sessions. */
import { TraceBuffer } from '../worker/trace-buffer';
import type { TraceRows } from '../worker/analysis-api';
import type { TraceView } from './contracts';

export class PageTrace {
  #buffer = new TraceBuffer();
  /** The worker's session whose rows are being taken, how many of them are here for good, and where they begin. */
  #session = -1;
  #haveRow = 0;
  #firstRow = 0;

  get session(): number {
    return this.#session;
  }
  get haveRow(): number {
    return this.#haveRow;
  }
  /** Time of the last row; null without rows. */
  get endS(): number | null {
    return this.#buffer.endS;
  }

  view(): TraceView {
    return this.#buffer.view();
  }

  /** @param earlier rows put away before; the trace goes on behind them */
  startAnew(earlier: TraceView | null): void {
    this.#buffer = new TraceBuffer();
    if (earlier) this.#buffer.append(earlier);
    this.nextSession();
  }

  /** Rows of another session of the worker come next, to be added behind those that are here. */
  nextSession(): void {
    this.#session = -1;
    this.#haveRow = 0;
    this.#firstRow = this.#buffer.length;
  }

  /** @returns whether anything was new */
  take(session: number, rows: TraceRows): boolean {
    if (session !== this.#session) {
      this.nextSession();
      this.#session = session;
    }
    const { fromRow, settledRow, timeS } = rows;
    if (fromRow !== this.#haveRow || timeS.length === 0) return false;
    const before = [this.#haveRow, this.#buffer.length];
    this.#buffer.cutTo(this.#firstRow + fromRow); // rows that were made better come again
    this.#buffer.append(rows);
    this.#haveRow = Math.max(fromRow, Math.min(settledRow, fromRow + timeS.length));
    return this.#haveRow !== before[0] || this.#buffer.length !== before[1];
  }
}
