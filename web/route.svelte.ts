/** Which view is open, and which place in it, from the address's hash, so that a reload stays where it was. */
import { VIEWS, type ViewName } from './view-list';

/** @param hash "#run" @returns the view it names, or Engine for anything else */
export function viewOf(hash: string): ViewName {
  const name = hash.replace(/^#\/?/, '').toLowerCase().split('/')[0];
  return VIEWS.find((view) => view === name) ?? 'engine';
}

/** @param hash "#sound/hook-up" @returns the id of the place in the view, or null */
export const placeOf = (hash: string): string | null => hash.replace(/^#\/?/, '').split('/')[1] || null;

export class Route {
  #view = $state<ViewName>('engine');
  #place = $state<string | null>(null);

  constructor(private readonly page: Window = window) {
    this.#read();
  }

  get view(): ViewName {
    return this.#view;
  }

  get place(): string | null {
    return this.#place;
  }

  /** Follows the address from now on. @returns a function that stops following */
  follow(): () => void {
    const read = (): void => this.#read();
    this.page.addEventListener('hashchange', read);
    return () => this.page.removeEventListener('hashchange', read);
  }

  #read(): void {
    this.#view = viewOf(this.page.location.hash);
    this.#place = placeOf(this.page.location.hash);
  }
}
