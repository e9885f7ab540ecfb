/** Holds an act back until its cautions have been acknowledged, once in a session. The page shows what it asks. */
import { getContext, setContext } from 'svelte';
import type { CautionedAct } from '../cautions';
import type { Preferences } from '../state/contracts';

const KEY = Symbol('caution gate');

export class CautionGate {
  #asking = $state.raw<CautionedAct | 'all' | null>(null);
  #held: (() => void) | null = null;
  #acknowledged: readonly CautionedAct[] = [];
  readonly #preferences: Preferences;
  readonly #nowIso: () => string;

  constructor(preferences: Preferences, nowIso: () => string) {
    this.#preferences = preferences;
    this.#nowIso = nowIso;
  }

  /** Which cautions are to be shown now; 'all' when someone asked for them; null for none. */
  get asking(): CautionedAct | 'all' | null {
    return this.#asking;
  }

  /** Does the act at once when its cautions were acknowledged in this session, else after they are. */
  before(what: CautionedAct, act: () => void): void {
    if (this.#acknowledged.includes(what)) return act();
    this.#held = act;
    this.#asking = what;
  }

  showAll(): void {
    this.#held = null;
    this.#asking = 'all';
  }

  /** The one tap: notes it and does what was held back. */
  acknowledge(): void {
    const act = this.#held;
    if (this.#asking !== null && this.#asking !== 'all')
      this.#acknowledged = [...this.#acknowledged, this.#asking];
    this.#preferences.cautionsSeenAt = this.#nowIso();
    this.dismiss();
    act?.();
  }

  /** Closed without a yes: the act is dropped. */
  dismiss(): void {
    this.#held = null;
    this.#asking = null;
  }
}

export const provideCautions = (gate: CautionGate): CautionGate => setContext(KEY, gate);
/** The page's caution gate, for any view below App. */
export const useCautions = (): CautionGate => getContext<CautionGate>(KEY);
