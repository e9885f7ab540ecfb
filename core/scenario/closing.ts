/** Contact-breaker points as a coil lead hears them: sparks and stretches of crank motion in, the instants at which the
 * points close out. The cam holds them open over the same angle whatever the speed. Knows degrees; nothing of a rate. */
import { createRandom, type Random } from '../../dsp/maker/random';
import type { VoiceRecipe } from '../../dsp/maker/signal-recipe';
import type { FiringEngine, Spark } from './firing';
import { endTurns, timeOfTurns, type Stretch } from './motion';

/** The closing is a source beside the leads and the crank sensor. */
export const CLOSING_SOURCE = 2000;

export interface MadePoints {
  /** How long they are closed, distributor degrees: the mean over the lobes. */
  readonly dwellDeg: number;
  /** Standard deviations of where they close, distributor degrees: from lobe to lobe, and from cycle to cycle. */
  readonly lobeSdDeg: number;
  readonly wobbleSdDeg: number;
  /** Size of the impulse as a share of the strike, either sign. */
  readonly share: number;
  /** How slowly it falls, seconds to 1/e; it rises in half of that. */
  readonly widthS: number;
}

/** A fair set of points: an impulse smaller and slower than the strike, and the other way up. */
export const PLAIN_POINTS: MadePoints = {
  dwellDeg: 30,
  lobeSdDeg: 0.2,
  wobbleSdDeg: 0.2,
  share: -0.2,
  widthS: 120e-6,
};

/** @param peak of the strike, share of full scale @returns how the clamp hears the closing: it hardly rings */
export function closingVoice({ share, widthS }: MadePoints, peak: number): VoiceRecipe {
  const shape = { riseS: widthS / 2, fallS: widthS, ringHz: 3000, ringShare: 0.1, ringDecayS: 0.2e-3 };
  return {
    source: CLOSING_SOURCE,
    shape: { kind: 'strike', ...shape },
    amplitude: share * peak,
    kick: null,
  };
}

/** The points' cam, driven at half crank speed on a four-stroke. */
export class Closings {
  readonly #turnsPerDeg: number;
  readonly #openDeg: readonly number[];
  readonly #wobble: Random;
  #waiting: number[] = [];

  /** @throws RangeError unless the dwell lies inside the angle from lobe to lobe */
  constructor(
    private readonly points: MadePoints,
    { cylinders, strokes }: FiringEngine,
    seed: number,
  ) {
    const { dwellDeg, lobeSdDeg } = points;
    if (!(dwellDeg > 0 && dwellDeg < 360 / cylinders))
      throw new RangeError(
        `dwell must lie between 0 and ${360 / cylinders} degrees of the distributor, got ${dwellDeg}`,
      );
    const lobes = createRandom(seed, 27);
    const off = Array.from({ length: cylinders }, () => lobeSdDeg * lobes.normal());
    const mean = off.reduce((sum, one) => sum + one, 0) / cylinders; // dwell is the mean over the lobes
    this.#openDeg = off.map((one) => 360 / cylinders - dwellDeg + one - mean);
    this.#turnsPerDeg = (strokes === 4 ? 2 : 1) / 360;
    this.#wobble = createRandom(seed, 28);
  }

  /** The points opened: they close later. */
  opened({ turns, lead }: Pick<Spark, 'turns' | 'lead'>): void {
    const openDeg = this.#openDeg[lead]! + this.points.wobbleSdDeg * this.#wobble.normal();
    this.#waiting.push(turns + Math.max(0, openDeg) * this.#turnsPerDeg);
  }

  /** @param stretch must follow the one before @returns when they close within it, seconds */
  follow(stretch: Stretch): number[] {
    const untilTurns = endTurns(stretch);
    const due = this.#waiting.filter((turns) => turns < untilTurns).sort((a, b) => a - b);
    this.#waiting = this.#waiting.filter((turns) => turns >= untilTurns);
    return due.map((turns) => timeOfTurns(stretch, Math.max(turns, stretch.turns)));
  }
}
