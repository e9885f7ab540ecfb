/** The step to hold now and how well it is held: the run, the step list and the live speed in, the view's figures out. */
import { Hold, type HoldState } from '../../core/hold';
import type { Run, StepList } from '../../core/job';
import { nextStep, openSteps, stepSpeeds, stepsProblem } from '../../core/steps';
import type { HoldView, LiveState, TraceView } from './contracts';

/** Of a trace that is there already, no more than this tells how a step is held now. */
const LOOK_BACK_S = 10;
const NOT_HELD: HoldState = { steady: false, offRpm: null, heldS: 0 };

export interface HoldSource {
  readonly live: Pick<LiveState, 'rpm' | 'trace' | 'latest'>;
  readonly run: Run | null;
  readonly steps: StepList | null;
}

/** Feeds a step's hold with the rows that are new since the last look. */
class HoldOnTrace {
  #hold: Hold | null = null;
  #rows = 0;

  at({ timeS, rpm }: TraceView, stepRpm: number, nowS: number): HoldState {
    if (this.#hold?.stepRpm !== stepRpm || timeS.length < this.#rows) this.#startAnew(timeS, stepRpm);
    for (; this.#rows < timeS.length; this.#rows++) {
      const speed = rpm[this.#rows]!;
      this.#hold!.take(timeS[this.#rows]!, Number.isNaN(speed) ? null : speed);
    }
    return this.#hold!.stateAt(nowS);
  }

  #startAnew(timeS: Float64Array, stepRpm: number): void {
    this.#hold = new Hold(stepRpm);
    this.#rows = timeS.length;
    const fromS = (timeS.at(-1) ?? 0) - LOOK_BACK_S;
    while (this.#rows > 0 && timeS[this.#rows - 1]! >= fromS) this.#rows--;
  }
}

export class HoldKeeper {
  #chosen: number | null = $state(null);
  readonly #held = new HoldOnTrace();
  readonly #from: () => HoldSource;

  constructor(from: () => HoldSource) {
    this.#from = from;
  }

  /** @param rpm a step out of its turn; null: back to the list */
  choose(rpm: number | null): void {
    this.#chosen = rpm;
  }

  readonly view: HoldView = $derived.by(() => {
    const { live, run, steps } = this.#from();
    const list = steps && !stepsProblem(steps) ? steps : null;
    const readings = run?.readings ?? [];
    const stepRpm = this.#chosen ?? (list && nextStep(list, readings));
    const stepsAll = list ? stepSpeeds(list).length : 0;
    const held =
      stepRpm === null || live.rpm === null
        ? NOT_HELD
        : this.#held.at(live.trace, stepRpm, live.latest?.timeS ?? 0);
    return {
      stepRpm,
      steady: held.steady,
      offRpm: held.offRpm,
      heldS: held.heldS,
      stepsDone: list ? stepsAll - openSteps(list, readings).length : 0,
      stepsAll,
    };
  });
}
