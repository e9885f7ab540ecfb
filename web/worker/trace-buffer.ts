/** Trace columns that grow: rows in, views of all rows out. Room is doubled when it runs out, so that an hour of rows
 * costs no more for each row than a minute. What a view shows is changed by `settle` and
 * `cutTo` alone. */

export interface TraceColumnsView {
  readonly timeS: Float64Array<ArrayBuffer>;
  readonly rpm: Float64Array<ArrayBuffer>;
  readonly rpmSd: Float64Array<ArrayBuffer>;
}

const FIRST_ROOM = 1024;

export class TraceBuffer {
  #length = 0;
  #settled = 0;
  #timeS = new Float64Array(FIRST_ROOM);
  #rpm = new Float64Array(FIRST_ROOM);
  #rpmSd = new Float64Array(FIRST_ROOM);

  get length(): number {
    return this.#length;
  }

  /** Time of the last row; null without rows. */
  get endS(): number | null {
    return this.#length === 0 ? null : this.#timeS[this.#length - 1]!;
  }

  /** The last row is a gap, or there is none yet. */
  get inGap(): boolean {
    return this.#length === 0 || Number.isNaN(this.#rpm[this.#length - 1]!);
  }

  /** @param rpm NaN for a gap */
  add(timeS: number, rpm: number, rpmSd: number): void {
    this.#makeRoom(1);
    this.#timeS[this.#length] = timeS;
    this.#rpm[this.#length] = rpm;
    this.#rpmSd[this.#length] = rpmSd;
    this.#length++;
  }

  /** A gap row, unless a gap stands there already. What stands before it changes no more. */
  gap(timeS: number): void {
    if (!this.inGap) this.add(timeS, NaN, NaN);
    this.#settled = this.#length;
  }

  /** Rows from the first on that change no more. */
  get settled(): number {
    return this.#settled;
  }

  /** A row by what came after it as well: it stands in place of that of the same time, or comes between where the strikes
   * up to it did not carry a speed yet; all up to it stay. What is older than the rows that stay is let go. */
  settle(timeS: number, rpm: number, rpmSd: number): void {
    let row = this.#length;
    while (row > this.#settled && this.#timeS[row - 1]! >= timeS) row--;
    if (row > 0 && this.#timeS[row - 1]! >= timeS) return;
    if (row === this.#length || this.#timeS[row] !== timeS) this.#makePlace(row, timeS);
    this.#rpm[row] = rpm;
    this.#rpmSd[row] = rpmSd;
    this.#settled = row + 1;
  }

  /** Adds many rows at once; columns of equal length. */
  append({ timeS, rpm, rpmSd }: Readonly<Record<keyof TraceColumnsView, Float64Array>>): void {
    this.#makeRoom(timeS.length);
    this.#timeS.set(timeS, this.#length);
    this.#rpm.set(rpm, this.#length);
    this.#rpmSd.set(rpmSd, this.#length);
    this.#length += timeS.length;
  }

  /** Forgets the rows from one on: others come in their place. */
  cutTo(length: number): void {
    this.#length = Math.min(this.#length, length);
    this.#settled = Math.min(this.#settled, this.#length);
  }

  /** All rows, without copying. */
  view(): TraceColumnsView {
    return this.#cut((column) => column.subarray(0, this.#length));
  }

  /** A copy of the rows from `fromRow` to before another. */
  copyFrom(fromRow: number, untilRow = this.#length): TraceColumnsView {
    return this.#cut((column) => column.slice(fromRow, Math.max(fromRow, untilRow)));
  }

  #cut(of: (column: Float64Array<ArrayBuffer>) => Float64Array<ArrayBuffer>): TraceColumnsView {
    return { timeS: of(this.#timeS), rpm: of(this.#rpm), rpmSd: of(this.#rpmSd) };
  }

  #makePlace(row: number, timeS: number): void {
    this.add(timeS, NaN, NaN);
    for (const column of [this.#timeS, this.#rpm, this.#rpmSd])
      column.copyWithin(row + 1, row, this.#length - 1);
    this.#timeS[row] = timeS;
  }

  #makeRoom(rows: number): void {
    const needed = this.#length + rows;
    if (needed <= this.#timeS.length) return;
    const room = Math.max(needed, 2 * this.#timeS.length);
    const grown = (column: Float64Array): Float64Array<ArrayBuffer> => {
      const larger = new Float64Array(room);
      larger.set(column.subarray(0, this.#length));
      return larger;
    };
    this.#timeS = grown(this.#timeS);
    this.#rpm = grown(this.#rpm);
    this.#rpmSd = grown(this.#rpmSd);
  }
}
