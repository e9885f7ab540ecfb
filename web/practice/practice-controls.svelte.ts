/** The practice engine's controls as the page sees them: what was asked for, at once, and where the mark stands, as
 * often as it is pulled. */
import type { Remote } from 'comlink';
import { PRACTICE_SPRINGS, PRACTICE_STOPS } from '../../core/practice/practice-distributor';
import type { PracticeControls } from '../state/contracts';
import type { PracticeApi, PracticeSetUp } from './practice-api';

const labels = (choices: readonly { readonly id: string; readonly label: string }[]): typeof choices =>
  choices.map(({ id, label }) => ({ id, label }));

export class PracticePanel implements PracticeControls {
  readonly springChoices = labels(PRACTICE_SPRINGS);
  readonly stopChoices = labels(PRACTICE_STOPS);
  #throttle = $state(0);
  #housingDeg = $state(0);
  #springsId = $state('');
  #stopId = $state('');
  #markDeg = $state<number | null>(null);
  #asking = false;
  readonly #api: Remote<PracticeApi>;
  readonly #refused: (error: unknown) => void;

  /** @param refused told when the engine did not take what was asked for */
  constructor(api: Remote<PracticeApi>, setUp: PracticeSetUp, refused: (error: unknown) => void) {
    this.#api = api;
    this.#refused = refused;
    this.#housingDeg = setUp.housingDeg;
    this.#springsId = setUp.springsId;
    this.#stopId = setUp.stopId;
  }

  get throttle(): number {
    return this.#throttle;
  }
  get housingDeg(): number {
    return this.#housingDeg;
  }
  get springsId(): string {
    return this.#springsId;
  }
  get stopId(): string {
    return this.#stopId;
  }
  get markDeg(): number | null {
    return this.#markDeg;
  }

  setThrottle(share: number): void {
    this.#throttle = Math.min(1, Math.max(0, share));
    this.#ask(this.#api.setThrottle(this.#throttle));
  }
  holdSpeed(rpm: number | null): void {
    this.#ask(this.#api.holdSpeed(rpm));
  }
  setHousing(deg: number): void {
    this.#housingDeg = deg;
    this.#ask(this.#api.setHousing(deg));
  }
  fit(springsId: string, stopId: string): void {
    this.#springsId = springsId;
    this.#stopId = stopId;
    this.#ask(this.#api.fit(springsId, stopId));
  }

  /** Asks where the mark and the throttle stand; one question at a time. */
  async pull(): Promise<void> {
    if (this.#asking) return;
    this.#asking = true;
    const state = await this.#api.state();
    this.#asking = false;
    if (!state) return;
    this.#markDeg = state.markDeg;
    this.#throttle = state.throttle; // the patient helper moves it too
  }

  #ask(call: Promise<void>): void {
    call.catch((error: unknown) => this.#refused(error));
  }
}
