/** The step to hold now and how well it is held: the run, the step list and the live speed in, the view's figures out. */
import type { Run, StepList } from '../../core/job';
import { belongsTo, stepSpeeds, stepsProblem } from '../../core/steps';
import type { HoldView, LiveState, TraceView } from './contracts';

/** As long as the stretch that a pinned moment looks back on. */
const STEADY_S = 1.5;

const bandOf = (stepRpm: number): number => Math.max(25, 0.02 * stepRpm);

function heldS({ timeS, rpm }: TraceView, stepRpm: number, nowS: number): number {
  let fromS = nowS;
  for (let i = timeS.length - 1; i >= 0; i--) {
    if (!(Math.abs(rpm[i]! - stepRpm) <= bandOf(stepRpm))) break;
    fromS = timeS[i]!;
  }
  return nowS - fromS;
}

export interface HoldSource {
  readonly live: Pick<LiveState, 'rpm' | 'trace' | 'latest'>;
  readonly run: Run | null;
  readonly steps: StepList | null;
}

export class HoldKeeper {
  #chosen: number | null = $state(null);
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
    const all = steps && !stepsProblem(steps) ? stepSpeeds(steps) : [];
    const near = (step: number): boolean =>
      (run?.readings ?? []).some((reading) => belongsTo(reading, step, steps!.spacingRpm));
    const open = all.filter((step) => !near(step));
    const stepRpm = this.#chosen ?? open[0] ?? null;
    const held =
      stepRpm === null || live.rpm === null ? 0 : heldS(live.trace, stepRpm, live.latest?.timeS ?? 0);
    return {
      stepRpm,
      steady: held >= STEADY_S,
      offRpm: stepRpm === null || live.rpm === null ? null : live.rpm - stepRpm,
      heldS: held,
      stepsDone: all.length - open.length,
      stepsAll: all.length,
    };
  });
}
