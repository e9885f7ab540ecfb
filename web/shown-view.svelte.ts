/** The view on show: the last one that was asked for and has come. The one before stays until then, so that nothing
 * flashes; a view that cannot be had is a problem with a way on. */
import type { Problem } from './state/contracts';
import { fetchHelps } from './help-book.svelte';
import { loadView, type OpenView, VIEW_FACTS, type ViewName, VIEWS } from './view-list';

type Load = (name: ViewName) => Promise<OpenView>;

export class ShownView {
  #open: OpenView;
  #problem = $state.raw<Problem | null>(null);
  #asked: ViewName;

  constructor(
    first: OpenView,
    private readonly load: Load = loadView,
  ) {
    this.#open = $state.raw(first);
    this.#asked = first.name;
  }

  get open(): OpenView {
    return this.#open;
  }
  get problem(): Problem | null {
    return this.#problem;
  }

  /** Shows a view as soon as it is there, unless another was asked for meanwhile. Never rejects. */
  async show(name: ViewName): Promise<void> {
    this.#asked = name;
    try {
      const view = await this.load(name);
      if (this.#asked !== name) return;
      this.#open = view;
      this.#problem = null;
    } catch {
      if (this.#asked === name) this.#problem = this.#missing(name);
    }
  }

  /** Fetches all views while there is nothing else to do: at the engine the network may be gone. */
  async fetchAll(): Promise<void> {
    for (const name of VIEWS) await this.load(name).catch(() => null);
    await import('./state/job-files').catch(() => null);
    await import('./state/sources').catch(() => null);
    await fetchHelps();
    await import('./fit/fit-thread').then(({ startFits }) => startFits()).catch(() => null);
  }

  #missing(name: ViewName): Problem {
    const text = `${VIEW_FACTS[name].title} could not be loaded: the place this page came from does not answer.`;
    return { text, wayOn: { label: 'Try again', act: () => void this.show(name) } };
  }
}
