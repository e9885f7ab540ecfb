/** The pinned moment: live speed or a typed one in, the moment held until its degrees come, a reading out. */
import type { Reading } from '../../core/job';
import { BY_LIGHT } from '../../core/new-job';
import type { LiveState, PinnedMoment } from './contracts';
import { speedOfMoment } from './moment';

export class PinKeeper {
  #moment: PinnedMoment | null = $state.raw(null);
  #stepRpm: number | null = null;
  readonly #live: LiveState;
  readonly #now: () => string;

  constructor(live: LiveState, now: () => string) {
    this.#live = live;
    this.#now = now;
  }

  get moment(): PinnedMoment | null {
    return this.#moment;
  }

  /** Pins now.
   * @param stepRpm the step asked for; null where none is
   * @returns why it cannot, as a sentence; null where it is pinned */
  take(stepRpm: number | null, typedRpm?: number): string | null {
    const moment = typedRpm === undefined ? this.#heard() : typed(this.#now(), typedRpm);
    if (!moment) return 'There is no speed to pin now: wait for one, or type it.';
    this.#moment = moment;
    this.#stepRpm = stepRpm;
    return null;
  }

  clear(): void {
    this.#moment = null;
  }

  /** Makes the reading and lets the moment go; null where nothing is pinned. */
  read(id: string, seenDeg: number, note: string): Reading | null {
    if (!this.#moment) return null;
    const reading: Reading = {
      ...{ id, ...this.#moment, ...BY_LIGHT },
      ...{ seenDeg, stepRpm: this.#stepRpm, note },
    };
    this.#moment = null;
    return reading;
  }

  #heard(): PinnedMoment | null {
    const { rpm, rpmSd, trace, latest } = this.#live;
    if (rpm === null) return null;
    const at = this.#now();
    const speed = speedOfMoment(trace);
    if (speed) return { at, timeS: latest?.timeS ?? null, ...speed };
    return { at, timeS: null, rpm, rpmSd, steady: null }; // just after the start: this run's trace has no row yet
  }
}

const typed = (at: string, rpm: number): PinnedMoment => ({
  at,
  timeS: null,
  rpm,
  rpmSd: null,
  steady: null,
});
