/** What this machine does for the page: whether it opens without a network, how much room there is, whether a newer page
 * waits. A newer page is told of and taken only while no run goes on, in any tab. */
import type { HereState, Problem } from '../state/contracts';
import type { KeptPage, KeptPageEvents } from './kept-page';
import { lookForRoom, type Room, type StorageFacts } from './room';

export interface HereOptions {
  readonly storage: StorageFacts | undefined;
  /** undefined: a browser without locks; then this tab is taken to be the only one. */
  readonly locks: Pick<LockManager, 'request'> | undefined;
  /** Whether a run goes on in this tab. */
  readonly inRun: () => boolean;
  readonly reload: () => void;
  readonly keptPage: (events: KeptPageEvents) => KeptPage;
}

const RUN_LOCK = 'clampline run';

export class Here implements HereState {
  #offline = $state<HereState['offline']>('not yet');
  #room = $state.raw<Room | null>(null);
  #news = $state<'newer' | 'newer, run elsewhere' | 'replaced' | null>(null);
  #isTaking = false;
  readonly #page: KeptPage;
  readonly #options: HereOptions;

  constructor(options: HereOptions) {
    this.#options = options;
    this.#page = options.keptPage({
      ready: () => (this.#offline = 'ready'),
      impossible: () => (this.#offline = 'not possible'),
      newer: () => (this.#news = 'newer'),
      replaced: () => (this.#isTaking ? options.reload() : (this.#news = 'replaced')),
    });
    $effect.root(() => {
      $effect(() => this.#markRun());
    });
  }

  get offline(): HereState['offline'] {
    return this.#offline;
  }
  get room(): Room | null {
    return this.#room;
  }
  get notice(): Problem | null {
    if (this.#news === null || this.#options.inRun()) return null;
    const reload = { label: 'Load it', act: () => this.#options.reload() };
    const take = { label: 'Load it', act: () => void this.#take() };
    switch (this.#news) {
      case 'newer':
        return { text: 'A newer Clampline is here and waits between runs.', wayOn: take };
      case 'newer, run elsewhere':
        return { text: 'A newer Clampline is here: end the run in the other tab first.', wayOn: take };
      case 'replaced':
        return {
          text: 'A newer Clampline was loaded in another tab; this tab has the old one.',
          wayOn: reload,
        };
    }
  }

  keepPage = (container: ServiceWorkerContainer | undefined): Promise<void> => this.#page.register(container);

  look = async (): Promise<void> => {
    this.#room = await lookForRoom(this.#options.storage);
  };

  askToKeep = async (): Promise<void> => {
    await this.#options.storage?.persist().catch(() => false);
    await this.look();
  };

  /** Holds the sign of a run under way for as long as there is one; other tabs see it. */
  #markRun(): (() => void) | undefined {
    const { inRun, locks } = this.#options;
    if (!inRun() || !locks) return undefined;
    let end: () => void = () => undefined;
    const ended = new Promise<void>((resolve) => (end = resolve));
    locks.request(RUN_LOCK, { mode: 'shared' }, () => ended).catch(() => undefined);
    return () => end();
  }

  async #take(): Promise<void> {
    const { locks } = this.#options;
    const isFree =
      !locks ||
      (await locks.request(RUN_LOCK, { ifAvailable: true }, (lock) => lock !== null).catch(() => true));
    this.#news = isFree ? 'newer' : 'newer, run elsewhere';
    if (!isFree) return;
    this.#isTaking = true;
    this.#page.take();
  }
}
