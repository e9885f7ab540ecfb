/** Long work that says how far it has come, lets the page take its turn, and can be stopped by hand. */

/** Shorter work is done before anybody could read of it. */
const LONG_MS = 1000;
/** A page that does not answer for longer is felt. */
const REST_MS = 25;

export class LongTask {
  /** What is being done, as the beginning of a sentence. */
  readonly what: string;
  #share = $state(0);
  #isLong = $state(false);
  #isStopped = false;
  #restedMs = performance.now();
  readonly #timer = setTimeout(() => (this.#isLong = true), LONG_MS);

  constructor(what: string) {
    this.what = what;
  }

  /** 0 to 1. */
  get share(): number {
    return this.#share;
  }
  /** It has gone on for a second: worth showing. */
  get isLong(): boolean {
    return this.#isLong;
  }
  get isStopped(): boolean {
    return this.#isStopped;
  }

  stop(): void {
    this.#isStopped = true;
  }
  over(): void {
    clearTimeout(this.#timer);
  }

  /** To be called often.
   * @throws DOMException AbortError when it has been stopped */
  step = async (share: number): Promise<void> => {
    if (performance.now() - this.#restedMs > REST_MS) {
      this.#share = share;
      await new Promise((resolve) => setTimeout(resolve));
      this.#restedMs = performance.now();
    }
    if (this.#isStopped) throw new DOMException('stopped by hand', 'AbortError');
  };
}
