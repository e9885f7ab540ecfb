/** What the person likes, kept on this machine. The store is passed in; a browser that keeps nothing still works for as
 * long as the page is open. */
import type { Preferences } from './contracts';

const KEY = 'clampline preferences';
const THEMES = ['system', 'sun', 'night'] as const;
const HANDS = ['left', 'right'] as const;

export type PreferencesStorage = Pick<Storage, 'getItem' | 'setItem'>;

export class KeptPreferences implements Preferences {
  #theme = $state<Preferences['theme']>('system');
  #padHand = $state<Preferences['padHand']>('right');
  #soundSigns = $state(true);
  #keepSound = $state(false);
  #cautionsSeenAt = $state<string | null>(null);
  readonly #storage: PreferencesStorage | null;

  constructor(storage: PreferencesStorage | null) {
    this.#storage = storage;
    const kept = read(storage);
    this.#theme = THEMES.find((theme) => theme === kept['theme']) ?? 'system';
    this.#padHand = HANDS.find((hand) => hand === kept['padHand']) ?? 'right';
    this.#soundSigns = kept['soundSigns'] !== false;
    this.#keepSound = kept['keepSound'] === true;
    this.#cautionsSeenAt = typeof kept['cautionsSeenAt'] === 'string' ? kept['cautionsSeenAt'] : null;
  }

  get theme(): Preferences['theme'] {
    return this.#theme;
  }
  set theme(theme) {
    this.#theme = theme;
    this.#keep();
  }
  get padHand(): Preferences['padHand'] {
    return this.#padHand;
  }
  set padHand(hand) {
    this.#padHand = hand;
    this.#keep();
  }
  get soundSigns(): boolean {
    return this.#soundSigns;
  }
  set soundSigns(on) {
    this.#soundSigns = on;
    this.#keep();
  }
  get keepSound(): boolean {
    return this.#keepSound;
  }
  set keepSound(on) {
    this.#keepSound = on;
    this.#keep();
  }
  get cautionsSeenAt(): string | null {
    return this.#cautionsSeenAt;
  }
  set cautionsSeenAt(at) {
    this.#cautionsSeenAt = at;
    this.#keep();
  }

  #keep(): void {
    const { theme, padHand, soundSigns, keepSound, cautionsSeenAt } = this;
    const kept: Preferences = { theme, padHand, soundSigns, keepSound, cautionsSeenAt };
    try {
      this.#storage?.setItem(KEY, JSON.stringify(kept));
    } catch {
      // full or forbidden: they hold until the page is closed
    }
  }
}

function read(storage: PreferencesStorage | null): Readonly<Record<string, unknown>> {
  try {
    const kept: unknown = JSON.parse(storage?.getItem(KEY) ?? '{}');
    return typeof kept === 'object' && kept !== null ? (kept as Record<string, unknown>) : {};
  } catch {
    return {}; // not ours, or storage is forbidden
  }
}
