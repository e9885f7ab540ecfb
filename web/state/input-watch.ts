/** Watches what a live source gives while it runs: time that stands still, sound that repeats, frames that the system dropped, sleep. Told
 * of each result; tells what it saw. */
import type { Latest, LiveReport } from '../worker/analysis-api';

export interface WatchEvents {
  stalled(isStalled: boolean): void;
  repeats(isRepeating: boolean): void;
  /** @param seconds not heard since it was last told */
  unheard(seconds: number): void;
  /** @param frames newly dropped before the page could get them */
  dropped(frames: number): void;
}

type WatchedLatest = Pick<Latest, 'timeS' | 'unheardS'> & { readonly report: Pick<LiveReport, 'reason'> };

const STALLED_MS = 2500;
const COUNTED_EVERY_MS = 1000;

export class InputWatch {
  readonly #events: WatchEvents;
  /** What the source says of frames dropped so far. */
  readonly #dropped: () => number | null;
  #timeS = -1;
  #unheardS = 0;
  #movedAtMs: number;
  #countedAtMs: number;
  #countedFrames: number | null = null;

  constructor(events: WatchEvents, dropped: () => number | null, nowMs: number) {
    this.#events = events;
    this.#dropped = dropped;
    this.#movedAtMs = nowMs;
    this.#countedAtMs = nowMs;
  }

  /** Milliseconds since the signal's time last moved. */
  stillMs(nowMs: number): number {
    return nowMs - this.#movedAtMs;
  }

  see({ timeS, unheardS, report }: WatchedLatest, nowMs: number): void {
    if (timeS !== this.#timeS) {
      this.#timeS = timeS;
      this.#movedAtMs = nowMs;
      this.#events.stalled(false);
    } else if (this.stillMs(nowMs) > STALLED_MS) this.#events.stalled(true);
    this.#events.repeats(report.reason === 'input repeats');
    if (unheardS > this.#unheardS) this.#events.unheard(unheardS - this.#unheardS);
    this.#unheardS = unheardS;
    if (nowMs - this.#countedAtMs > COUNTED_EVERY_MS) this.#count(nowMs);
  }

  #count(nowMs: number): void {
    const before = this.#countedFrames; // what was dropped in the first second, while it started, is not missed
    const now = this.#dropped();
    this.#countedAtMs = nowMs;
    this.#countedFrames = now;
    if (now !== null && before !== null && now > before) this.#events.dropped(now - before);
  }
}
