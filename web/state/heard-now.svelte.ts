/** The closer look at the sound: asked for by those who show it, one call under way at a time. */
import type { HeardSignal } from '../../core/decode-heard';
import { answered } from './answered';

export class HeardNow {
  #signal = $state.raw<HeardSignal | null>(null);
  #isAsking = false;

  get signal(): HeardSignal | null {
    return this.#signal;
  }

  /** Another source: what was heard of the last one says nothing of it. */
  forget(): void {
    this.#signal = null;
  }

  /** @param isCurrent whether the source that was asked about is still the one */
  async ask(ask: () => Promise<HeardSignal | null>, isCurrent: () => boolean): Promise<void> {
    if (this.#isAsking) return;
    this.#isAsking = true;
    await answered(
      ask().then((signal) => {
        if (isCurrent()) this.#signal = signal;
      }),
    );
    this.#isAsking = false;
  }
}
