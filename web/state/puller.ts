/** Pulls once for each animation frame, or twice a second while the page is hidden, one call in flight; says when the
 * other side has stopped answering. */

export interface PullerPage {
  readonly isHidden: () => boolean;
  readonly requestFrame: (call: () => void) => number;
  readonly cancelFrame: (handle: number) => void;
  readonly nowMs: () => number;
}

const HIDDEN_EVERY_MS = 500;
const MOST_SILENT_MS = 5000;
/** Time in which the page itself stood still says nothing about the other side. */
const MOST_TICK_MS = 1000;

export class Puller {
  readonly #pull: () => Promise<void>;
  readonly #silent: () => void;
  readonly #page: PullerPage;
  /** Number of the call that has not come back; 0: none. */
  #inFlight = 0;
  #calls = 0;
  #waitedMs = 0;
  #tickedAtMs = 0;
  #cancel: (() => void) | null = null;

  /** @param silent called when a pull has not come back for five seconds of the page's waking time */
  constructor(pull: () => Promise<void>, silent: () => void, page: PullerPage = WINDOW) {
    this.#pull = pull;
    this.#silent = silent;
    this.#page = page;
  }

  start(): void {
    this.stop();
    this.#inFlight = 0; // one of another side may never come back
    this.#waitedMs = 0;
    this.#tickedAtMs = this.#page.nowMs();
    this.#plan();
  }

  stop(): void {
    this.#cancel?.();
    this.#cancel = null;
  }

  /** The page was hidden or shown: the other clock ticks from now on. */
  replan(): void {
    if (!this.#cancel) return;
    this.#cancel();
    this.#plan();
  }

  #plan(): void {
    const tick = (): void => this.#tick();
    if (this.#page.isHidden()) {
      const timer = setTimeout(tick, HIDDEN_EVERY_MS);
      this.#cancel = () => clearTimeout(timer);
    } else {
      const frame = this.#page.requestFrame(tick);
      this.#cancel = () => this.#page.cancelFrame(frame);
    }
  }

  #tick(): void {
    const nowMs = this.#page.nowMs();
    const tickMs = Math.min(MOST_TICK_MS, nowMs - this.#tickedAtMs);
    this.#tickedAtMs = nowMs;
    if (!this.#inFlight) void this.#once();
    else if ((this.#waitedMs += tickMs) > MOST_SILENT_MS) {
      this.stop();
      this.#silent();
      return;
    }
    this.#plan();
  }

  async #once(): Promise<void> {
    const call = (this.#inFlight = ++this.#calls);
    this.#waitedMs = 0;
    await this.#pull().catch(() => undefined); // its own error is told by the worker's onerror
    if (this.#inFlight === call) this.#inFlight = 0;
  }
}

const WINDOW: PullerPage = {
  isHidden: () => document.hidden,
  requestFrame: (call) => requestAnimationFrame(call),
  cancelFrame: (handle) => cancelAnimationFrame(handle),
  nowMs: () => performance.now(),
};
