/** The theme in force: the person's choice, or the system's where none is made, written on <html data-theme>. */
import type { Preferences } from './state/contracts';

const DARK = '(prefers-color-scheme: dark)';

/** Puts the theme on the page and follows the system while the choice is left to it.
 * @returns a function that stops following */
export function applyTheme(choice: Preferences['theme'], page: Window = window): () => void {
  const dark = page.matchMedia(DARK);
  const apply = (): void => {
    const system = dark.matches ? 'night' : 'sun';
    page.document.documentElement.dataset['theme'] = choice === 'system' ? system : choice;
  };
  apply();
  if (choice !== 'system') return () => undefined;
  dark.addEventListener('change', apply);
  return () => dark.removeEventListener('change', apply);
}
