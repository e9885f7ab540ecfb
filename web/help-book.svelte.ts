/** The help texts, fetched once for all that stand beside a figure: the first view does not wait for them. */
import type { HelpKey, HelpText } from './helps';

let texts = $state.raw<Readonly<Record<HelpKey, HelpText>> | null>(null);
let fetching: Promise<void> | null = null;

/** @returns null until they have come */
export const helpOn = (about: HelpKey): HelpText | null => texts?.[about] ?? null;

/** To be asked for by whatever shows help; again where they could not be had. Never rejects. */
export function fetchHelps(): Promise<void> {
  fetching ??= import('./helps').then(
    ({ HELPS }) => void (texts = HELPS),
    () => void (fetching = null),
  );
  return fetching;
}
