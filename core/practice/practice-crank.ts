/** The practice engine's crankshaft: throttle and advance in, speed out, in steps of even acceleration. Unloaded, no
 * governor: the idle holds itself because a nearly closed throttle gives more torque the slower the engine turns. */
import { nextStretch, rpmIn, endTimeS, endTurns, type Stretch } from '../scenario/motion';
import type { Random } from '../../dsp/maker/random';

/** Steps in which the speed changes evenly. */
export const STEP_S = 0.002;
/** Above this the sparks are cut, until the speed is back under the second figure. */
const LIMITER_RPM = 6500;
const LIMITER_BACK_RPM = 6350;
/** The starter turns the engine when it is slower than it catches at. */
const STARTER_RPM = 240;
const CATCHES_RPM = 380;
/** A full cylinder against the flywheel alone. */
const FULL_RPM_PER_S = 10_700;
/** The advance that would suit best at no load; a degree off costs more the farther off it is. */
const BEST_ADVANCE_DEG = 30;

/** Air in a cylinder as a share of a full one: a closed throttle passes so much air a second, shared by the strokes. */
function filling(throttle: number, rpm: number): number {
  const airflow = 150 + 6500 * throttle ** 1.5;
  return 1 - Math.exp(-airflow / rpm);
}

/** Friction and pumping, as what they take from the speed. */
const dragRpmPerS = (rpm: number): number => 1200 + 0.25 * rpm + 60e-6 * rpm * rpm;

/** Share of the torque that an advance leaves; never none, so that a badly set engine still runs, badly. */
const timingShare = (advanceDeg: number): number =>
  Math.max(0.25, 1 - 0.0004 * (advanceDeg - BEST_ADVANCE_DEG) ** 2);

export class PracticeCrank {
  /** Throttle, 0 shut to 1 open. */
  throttle = 0;
  /** The advance that burns now. */
  advanceDeg = 10;
  /** The limiter holds the sparks back. */
  cut = false;
  #last: Stretch = { timeS: 0, turns: 0, rpm: STARTER_RPM, rpmPerS: 0, durationS: 0 };
  #burn = 1;
  #nextCycleTurns = 0;

  /** @param cycleTurns turns a cycle */
  constructor(
    private readonly cycleTurns: number,
    private readonly random: Random,
  ) {}

  get rpm(): number {
    return rpmIn(this.#last, endTimeS(this.#last));
  }
  get timeS(): number {
    return endTimeS(this.#last);
  }

  /** One step on. Each cycle burns a little better or worse than the last. */
  step(): Stretch {
    const { rpm } = this;
    if (endTurns(this.#last) >= this.#nextCycleTurns) {
      this.#burn = 1 + 0.06 * Math.max(-2.5, Math.min(2.5, this.random.normal()));
      this.#nextCycleTurns += this.cycleTurns;
    }
    this.cut = rpm > (this.cut ? LIMITER_BACK_RPM : LIMITER_RPM);
    const burning = this.cut || rpm < 0.7 * STARTER_RPM ? 0 : this.#burn * timingShare(this.advanceDeg);
    const starter = rpm < CATCHES_RPM ? 20 * (STARTER_RPM - rpm) + dragRpmPerS(rpm) : 0;
    const rpmPerS =
      FULL_RPM_PER_S * filling(this.throttle, rpm) * burning * (rpm < CATCHES_RPM ? 0.5 : 1) -
      dragRpmPerS(rpm);
    const end = Math.max(60, rpm + (rpmPerS + Math.max(0, starter)) * STEP_S);
    return (this.#last = nextStretch(this.#last, STEP_S, end));
  }
}

/** The patient second person: eyes on the figure, a hand that moves the throttle little by little. */
export class PatientHand {
  #sum: number;
  #wait = 0;
  /** @param rpm the speed to hold @param throttle where it stands now */
  constructor(
    private readonly rpm: number,
    throttle: number,
  ) {
    this.#sum = throttle;
  }
  /** Called each step: where the throttle should stand. */
  throttleFor(rpm: number, throttle: number): number {
    if (this.#wait-- > 0) return throttle;
    this.#wait = 9; // looks every 20 ms
    const off = Math.max(-600, Math.min(600, this.rpm - rpm));
    this.#sum = Math.max(0, Math.min(1, this.#sum + 1.2e-4 * off * 10 * STEP_S * 2));
    const wanted = Math.max(0, Math.min(1, this.#sum + 1.2e-4 * off));
    return throttle + Math.max(-0.03, Math.min(0.03, wanted - throttle));
  }
}
