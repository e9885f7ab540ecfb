/** The page kept by this browser: the service worker is registered once the page stands, and tells when it has every file
 * and when a newer page waits. Knows no run and shows nothing. */
import type { Workbox } from 'workbox-window';

export interface KeptPageEvents {
  /** Every file is here: the page opens with no server. */
  readonly ready: () => void;
  /** A newer page has come and waits to be taken. */
  readonly newer: () => void;
  /** A newer page was taken, here or in another tab: this one is the old one still. */
  readonly replaced: () => void;
  /** This browser or this address keeps no pages. */
  readonly impossible: () => void;
}

const SCRIPT = './sw.js';

export class KeptPage {
  readonly #events: KeptPageEvents;
  #worker: Workbox | null = null;

  constructor(events: KeptPageEvents) {
    this.#events = events;
  }

  /** To be called once. @param container undefined: a browser, or an address, without service workers */
  async register(container: ServiceWorkerContainer | undefined): Promise<void> {
    if (!container) return this.#events.impossible();
    try {
      const { Workbox } = await import('workbox-window');
      const worker = new Workbox(SCRIPT);
      worker.addEventListener('waiting', this.#events.newer);
      worker.addEventListener('controlling', ({ isUpdate }) => {
        if (isUpdate) this.#events.replaced();
      });
      this.#worker = worker;
      await worker.register();
      await container.ready;
      this.#events.ready();
    } catch {
      // Without a network nothing can be fetched anew: what is kept is still there.
      if (container.controller) this.#events.ready();
      else this.#events.impossible();
    }
  }

  /** Takes the newer page; `replaced` follows. */
  take(): void {
    this.#worker?.messageSkipWaiting();
  }
}
