/** How far long work has come, as one line on a terminal that is written over and taken away again. Knows no Node. */

const QUIET_MS = 1000; // short work says nothing
const EVERY_MS = 250;
const TAKE_AWAY = '\r\x1b[K';

export class ProgressLine {
  readonly #write: (text: string) => void;
  readonly #nowMs: () => number;
  #beganMs: number | null = null;
  #saidMs = -Infinity;
  #stands = false;

  constructor(write: (text: string) => void, nowMs: () => number) {
    this.#write = write;
    this.#nowMs = nowMs;
  }

  /** @param share of the work that is done, 0 to 1; 0 begins anew */
  say(what: string, share: number): void {
    const now = this.#nowMs();
    if (share === 0) this.#beganMs = now;
    this.#beganMs ??= now;
    if (now - this.#beganMs < QUIET_MS || now - this.#saidMs < EVERY_MS) return;
    const leftS = (((now - this.#beganMs) / 1000) * (1 - share)) / share;
    const left = share > 0 ? `, about ${Math.ceil(leftS)} s left` : '';
    this.#write(`${TAKE_AWAY}${what}: ${Math.floor(100 * share)} %${left}; Ctrl-C stops`);
    this.#saidMs = now;
    this.#stands = true;
  }

  /** Before anything else is written to the terminal. */
  clear(): void {
    if (this.#stands) this.#write(TAKE_AWAY);
    this.#stands = false;
    this.#saidMs = -Infinity;
  }
}
