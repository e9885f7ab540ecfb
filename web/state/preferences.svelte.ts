/** What the person likes, kept on this machine. The store is passed in; a browser that keeps nothing still works for as
 * long as the page is open. */
import type { GuideMemory, Preferences } from './contracts';

const KEY = 'clampline preferences';
const THEMES = ['system', 'sun', 'night'] as const;
const HANDS = ['left', 'right'] as const;
const SIGHTS = ['target', 'corners', 'work', 'side-by-side'] as const;

export type PreferencesStorage = Pick<Storage, 'getItem' | 'setItem'>;

export class KeptPreferences implements Preferences {
  #theme = $state<Preferences['theme']>('system');
  #padHand = $state<Preferences['padHand']>('right');
  #soundSigns = $state(true);
  #buzzSigns = $state(true);
  #keepSound = $state(false);
  #cautionsSeenAt = $state<string | null>(null);
  #guide = $state.raw<GuideMemory | null>(null);
  readonly #storage: PreferencesStorage | null;

  constructor(storage: PreferencesStorage | null) {
    this.#storage = storage;
    const kept = read(storage);
    this.#theme = THEMES.find((theme) => theme === kept['theme']) ?? 'system';
    this.#padHand = HANDS.find((hand) => hand === kept['padHand']) ?? 'right';
    this.#soundSigns = kept['soundSigns'] !== false;
    this.#buzzSigns = kept['buzzSigns'] !== false;
    this.#keepSound = kept['keepSound'] === true;
    this.#guide = guideOf(kept['guide']);
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
  get buzzSigns(): boolean {
    return this.#buzzSigns;
  }
  set buzzSigns(on) {
    this.#buzzSigns = on;
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

  get guide(): GuideMemory | null {
    return this.#guide;
  }
  set guide(guide) {
    this.#guide = guide;
    this.#keep();
  }

  #keep(): void {
    const { theme, padHand, soundSigns, buzzSigns, keepSound, cautionsSeenAt, guide } = this;
    const kept: Preferences = { theme, padHand, soundSigns, buzzSigns, keepSound, cautionsSeenAt, guide };
    try {
      this.#storage?.setItem(KEY, JSON.stringify(kept));
    } catch {
      // full or forbidden: they hold until the page is closed
    }
  }
}

function guideOf(kept: unknown): GuideMemory | null {
  if (typeof kept !== 'object' || kept === null) return null;
  const { jobId, isOn, seen } = kept as Readonly<Record<string, unknown>>;
  if (typeof jobId !== 'string') return null;
  const known: readonly unknown[] = Array.isArray(seen) ? seen : [];
  return { jobId, isOn: isOn === true, seen: SIGHTS.filter((sight) => known.includes(sight)) };
}

function read(storage: PreferencesStorage | null): Readonly<Record<string, unknown>> {
  try {
    const kept: unknown = JSON.parse(storage?.getItem(KEY) ?? '{}');
    return typeof kept === 'object' && kept !== null ? (kept as Record<string, unknown>) : {};
  } catch {
    return {}; // not ours, or storage is forbidden
  }
}
