/** A rate that was even and begins to rise or fall evenly between two strikes: how far the next two strikes come off
 * their places in, when it began and how fast it goes out. Two places, two unknowns. Allocates nothing but where a ramp is found. */

export interface Ramp {
  rateHz: number;
  /** Hertz a second. */
  changeHzPerS: number;
}

/** So much before the first of the three strikes it may have begun, as a share of the interval after it. */
const SLACK = 0.1;

/** By a strike come early so much, d = s τ²/2, and the next, s (τ + t)²/2, with s the change, τ since it began and t between
 * the two: the root of their ratio is 1 + t/τ.
 * @param evenHz before @param firstS, secondS between the three strikes @param firstEarly, bothEarly how far the rate of
 * before lags at the second and at the third strike, in intervals @returns null where it did not begin after the first
 * @source even acceleration, worked out by hand */
export function rampFrom(
  evenHz: number,
  firstS: number,
  secondS: number,
  firstEarly: number,
  bothEarly: number,
): Ramp | null {
  const ratio = bothEarly / firstEarly;
  if (!(ratio > 1)) return null;
  const sinceS = secondS / (Math.sqrt(ratio) - 1);
  if (sinceS > (1 + SLACK) * firstS) return null;
  const changeHzPerS = (2 * firstEarly) / sinceS ** 2;
  return { rateHz: evenHz + changeHzPerS * (sinceS + secondS), changeHzPerS };
}

/** A rate is even that is known to this share; a strike comes off its place that comes by so many deviations and so many
 * intervals. */
const EVEN = 0.015;
const OFF_DEVIATIONS = 6;
const OFF_INTERVALS = 0.0025;
/** Scatter of strikes about their places, intervals. */
const SCATTER = 3e-4;
/** No engine gains or loses more in a second, by its lowest rate; nor falls below this share at once. */
export const STEEPEST = 80;
const LOWEST_SHARE = 0.3;

/** Watches a rate for the ramp that the last two strikes may tell of. */
export class RampWatch {
  #lastHz = 0;
  #lastVar = Infinity;
  #evenHz = 0;
  #evenVar = Infinity;
  #firstS = 0;
  #firstPlaceVar = 0;

  /** @param longestS interval at the lowest rate that can be */
  constructor(private readonly longestS: number) {}

  reset(): void {
    this.#lastVar = this.#evenVar = Infinity;
  }

  /** The rate as it is told at each strike, hertz, and the interval before it.
   * @param placeVar variance of the place foretold for the strike, intervals squared */
  note(rateHz: number, rateVar: number, intervalS: number, placeVar: number): void {
    this.#firstPlaceVar = placeVar;
    this.#evenHz = this.#lastHz;
    this.#evenVar = this.#lastVar;
    this.#lastHz = rateHz;
    this.#lastVar = rateVar;
    this.#firstS = intervalS;
  }

  /** @param firstSteps, secondSteps intervals before the strike noted last and before the one now, secondS after it
   * @param timeVar of a strike, seconds squared @returns the ramp at the strike now; null where none is told of */
  find(firstSteps: number, secondSteps: number, secondS: number, timeVar: number): Ramp | null {
    const evenHz = this.#evenHz;
    if (this.#evenVar > (EVEN * evenHz) ** 2) return null;
    const firstEarly = firstSteps - evenHz * this.#firstS;
    const unsure = this.#evenVar * this.#firstS ** 2 + 2 * timeVar * evenHz ** 2 + SCATTER ** 2;
    const offVar = Math.max(unsure, this.#firstPlaceVar); // cycles that differ put a strike off its place by themselves
    if (Math.abs(firstEarly) < Math.max(OFF_INTERVALS, OFF_DEVIATIONS * Math.sqrt(offVar))) return null;
    const bothEarly = firstEarly + secondSteps - evenHz * secondS;
    const ramp = rampFrom(evenHz, this.#firstS, secondS, firstEarly, bothEarly);
    if (!ramp || ramp.rateHz < LOWEST_SHARE * evenHz) return null;
    return Math.abs(ramp.changeHzPerS) * this.longestS > STEEPEST ? null : ramp;
  }
}
