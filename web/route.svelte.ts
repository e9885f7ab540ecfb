/** Which view is open, from the address's hash, so that a reload stays where it was. */
import { VIEWS, type ViewName } from './view-list';

/** @param hash "#run" @returns the view it names, or Engine for anything else */
export function viewOf(hash: string): ViewName {
  const name = hash.replace(/^#\/?/, '').toLowerCase();
  return VIEWS.find((view) => view === name) ?? 'engine';
}

export class Route {
  #view = $state<ViewName>('engine');

  constructor(private readonly page: Window = window) {
    this.#view = viewOf(page.location.hash);
  }

  get view(): ViewName {
    return this.#view;
  }

  /** Follows the address from now on. @returns a function that stops following */
  follow(): () => void {
    const read = (): void => {
      this.#view = viewOf(this.page.location.hash);
    };
    this.page.addEventListener('hashchange', read);
    return () => this.page.removeEventListener('hashchange', read);
  }
}
