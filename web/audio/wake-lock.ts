/** Keeps the screen awake while asked to. The browser lets go whenever the page is hidden; it is asked again when the
 * page is seen. Browser objects are passed in. */

export interface ScreenWakeBrowser {
  readonly wakeLock: Pick<WakeLock, 'request'> | undefined;
  readonly page: Pick<Document, 'visibilityState' | 'addEventListener'>;
}

export class ScreenWake {
  #wanted = false;
  #lock: WakeLockSentinel | null = null;
  #asking = false;
  readonly #browser: ScreenWakeBrowser;

  constructor(browser: ScreenWakeBrowser) {
    this.#browser = browser;
    browser.page.addEventListener('visibilitychange', () => void this.#ask());
  }

  /** The screen is kept awake now. */
  get held(): boolean {
    return this.#lock !== null;
  }

  /** @param wanted keep the screen awake, or let it sleep again. Never throws: a full battery saver may refuse. */
  async want(wanted: boolean): Promise<void> {
    this.#wanted = wanted;
    if (wanted) return this.#ask();
    const lock = this.#lock;
    this.#lock = null;
    await lock?.release().catch(() => undefined);
  }

  async #ask(): Promise<void> {
    const { wakeLock, page } = this.#browser;
    if (!this.#wanted || this.#lock || this.#asking || !wakeLock || page.visibilityState !== 'visible')
      return;
    this.#asking = true;
    const lock = await wakeLock.request('screen').catch(() => null);
    this.#asking = false;
    if (!lock) return;
    if (!this.#wanted) return void lock.release().catch(() => undefined);
    this.#lock = lock;
    lock.addEventListener('release', () => {
      if (this.#lock === lock) this.#lock = null;
    });
  }
}
