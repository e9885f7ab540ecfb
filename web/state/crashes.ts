/** How often something died of late: once is put right without a word, twice in a row is told. */

const APART_MS = 10_000;

export class Crashes {
  #lastMs = -Infinity;

  /** Notes a crash. @returns whether the one before was only just now */
  again(nowMs: number): boolean {
    const isAgain = nowMs - this.#lastMs < APART_MS;
    this.#lastMs = nowMs;
    return isAgain;
  }
}
