/** Whether the engine holds a step: speeds at their times in; steady or not, how far off and for how long out. Harder to
 * lose than to win, so that the sign does not flicker. Knows rpm and seconds only. */

export interface HoldState {
  /** The speed has stayed near the step long enough, and still does. */
  readonly steady: boolean;
  /** Signed distance of the mean of the last speeds to the step; null before any speed, or after a gap. */
  readonly offRpm: number | null;
  /** Seconds since it came near the step; 0 while it is not near. */
  readonly heldS: number;
}

export interface HoldBand {
  /** How near counts: this share of the step, and never less than so many rpm. */
  readonly share: number;
  readonly leastRpm: number;
  /** How long it must stay near to be called steady: as long as the stretch that a pinned moment looks back on. */
  readonly afterS: number;
}

/** A person at the throttle keeps an engine within about this; a rough idle within twice as much.
 * @source common practice, to be tried at the engine */
export const USUAL_BAND: HoldBand = { share: 0.015, leastRpm: 25, afterS: 1.5 };

/** Once near, the speed may stray this much further before the hold is lost, */
const LOSE_BANDS = 2;
/** unless it comes back within so long: one odd cycle is not the throttle. */
const LOSE_AFTER_S = 0.25;
/** Without a speed for so long there is no hold. */
const GAP_S = 1.5;
/** A rough idle scatters by 8 % from cycle to cycle and is held all the same: the mean over so long is judged. */
const MEAN_S = 0.6;

export class Hold {
  readonly #bandRpm: number;
  #sinceS: number | null = null;
  #outSinceS: number | null = null;
  #lastS = -Infinity;
  /** Speeds of the last moments and their times, oldest first. */
  readonly #recentS: number[] = [];
  readonly #recentRpm: number[] = [];
  #offRpm: number | null = null;

  /** @throws RangeError if the step is not above 0 */
  constructor(
    readonly stepRpm: number,
    private readonly band: HoldBand = USUAL_BAND,
  ) {
    if (!(stepRpm > 0)) throw new RangeError(`a step must be above 0 rpm, got ${stepRpm}`);
    this.#bandRpm = Math.max(band.share * stepRpm, band.leastRpm);
  }

  /** @param timeS not before the last @param rpm the speed then; null: none is known */
  take(timeS: number, rpm: number | null): HoldState {
    if (timeS - this.#lastS > GAP_S) this.#lose();
    if (rpm !== null) {
      this.#lastS = timeS;
      this.#offRpm = this.#meanWith(timeS, rpm) - this.stepRpm;
      this.#judge(timeS, Math.abs(this.#offRpm));
    }
    return this.stateAt(timeS);
  }

  /** What holds at a time after the last speed. */
  stateAt(timeS: number): HoldState {
    if (timeS - this.#lastS > GAP_S) return { steady: false, offRpm: null, heldS: 0 };
    const heldS = this.#sinceS === null ? 0 : this.#lastS - this.#sinceS;
    return { steady: heldS >= this.band.afterS, offRpm: this.#offRpm, heldS };
  }

  #meanWith(timeS: number, rpm: number): number {
    this.#recentS.push(timeS);
    this.#recentRpm.push(rpm);
    while (timeS - this.#recentS[0]! > MEAN_S) {
      this.#recentS.shift();
      this.#recentRpm.shift();
    }
    return this.#recentRpm.reduce((sum, one) => sum + one, 0) / this.#recentRpm.length;
  }

  #judge(timeS: number, offRpm: number): void {
    if (offRpm <= this.#bandRpm) {
      this.#sinceS ??= timeS;
      this.#outSinceS = null;
    } else if (offRpm <= LOSE_BANDS * this.#bandRpm && this.#sinceS !== null) this.#outSinceS = null;
    else {
      this.#outSinceS ??= timeS;
      const far = offRpm > 2 * LOSE_BANDS * this.#bandRpm;
      if (far || timeS - this.#outSinceS >= LOSE_AFTER_S) this.#sinceS = null;
    }
  }

  #lose(): void {
    this.#sinceS = this.#outSinceS = this.#offRpm = null;
    this.#recentS.length = this.#recentRpm.length = 0;
  }
}
