/** The first five minutes, a step each: what the state shows in; each step with its sentence, its place and whether it
 * is done, out. Nothing is ticked because something was pressed. */
import { FEWEST_READINGS } from '../../core/fit';
import type { Job, Run } from '../../core/job';
import { PRACTICE_GOAL } from '../../core/practice/practice-job';
import type { GuideMemory, HoldView, PracticeControls } from '../state/contracts';
import type { ViewName } from '../view-list';
import { numberText } from '../format';

/** What is looked at, not measured: done once it was on the screen and left again. */
export type Sight = GuideMemory['seen'][number];

export interface GuideFacts {
  readonly job: Pick<Job, 'runs'>;
  readonly run: Run | null;
  /** null unless the practice engine runs. */
  readonly bench: Pick<PracticeControls, 'springsId' | 'stopId' | 'housingDeg'> | null;
  readonly hold: Pick<HoldView, 'stepRpm' | 'steady' | 'stepsDone' | 'stepsAll'>;
  readonly pinned: boolean;
  /** The helper at the throttle holds the step. */
  readonly helped: boolean;
  readonly saved: boolean;
  readonly seen: readonly Sight[];
  /** On the screen now, long enough to have been looked at. */
  readonly looked: Sight | null;
}

export interface GuideStep {
  readonly title: string;
  /** One sentence: what to do, and why. */
  readonly say: string;
  readonly view: ViewName;
  /** The control that is meant, as its `data-guide` names it. */
  readonly at: string;
  readonly done: boolean;
  readonly sight?: Sight;
}

type Words = Pick<GuideStep, 'say' | 'at'>;

/** Runs that say something: ended, with readings enough for a curve. */
function wholeRuns({ job, run }: GuideFacts): Run[] {
  return job.runs.filter(({ id, readings }) => id !== run?.id && readings.length >= FEWEST_READINGS);
}

/** What to do for the reading of one step, as far as it has come. */
function readingWords({ hold, pinned, helped }: GuideFacts): Words {
  if (pinned) return { say: 'Tap the degrees that you read under the pointer, or type them.', at: 'pad' };
  if (!helped)
    return {
      say: `Press “Hold”: a helper at the throttle brings ${numberText(hold.stepRpm ?? 0)} rpm, so that your eyes stay on the mark.`,
      at: 'hold',
    };
  if (!hold.steady)
    return { say: 'Wait until the notch closes: only a steady speed makes a good reading.', at: 'tape' };
  return {
    say: 'Steady. Read the degrees under the pointer, then pin: that keeps the speed of this moment.',
    at: 'pin',
  };
}

function benchWords(bench: NonNullable<GuideFacts['bench']>): Words {
  if (bench.springsId === 'heavy')
    return {
      say: 'Fit the middle pair: lighter springs bring the advance in sooner.',
      at: 'springs parts',
    };
  if (bench.stopId === 'short')
    return {
      say: 'Fit the middle stop: from 14° to 34° the weights must add 20°.',
      at: 'stop parts',
    };
  return {
    say: `Turn the housing to ${PRACTICE_GOAL.housingDeg}°: with 20° from the weights the total comes to 34°.`,
    at: 'housing parts',
  };
}

const isChanged = (bench: GuideFacts['bench']): boolean =>
  bench !== null &&
  bench.springsId !== 'heavy' &&
  bench.stopId !== 'short' &&
  Math.abs(bench.housingDeg - PRACTICE_GOAL.housingDeg) <= 1;

/** @returns all steps in their order; the first that is not done is the one to do */
export function guideSteps(facts: GuideFacts): GuideStep[] {
  const { run, bench, hold, seen, looked } = facts;
  const [first, second] = wholeRuns(facts);
  const reading = readingWords(facts);
  const sight = (name: Sight, look: string, then: string, next: string) => ({
    say: looked === name ? then : look,
    at: looked === name ? next : name,
    sight: name,
    done: seen.includes(name),
  });
  return [
    {
      ...{ title: 'The target', view: 'engine' },
      ...sight(
        'target',
        'The curve wanted, with its band: every reading will be judged against it.',
        'This curve is wanted: every reading will be judged against it. Now open Run.',
        'view run',
      ),
    },
    {
      ...{ title: 'An engine', view: 'run', at: 'start-practice' },
      say: 'Start the practice engine: simulated, but its strikes are heard as a real one’s are.',
      done: bench !== null || second !== undefined,
    },
    {
      ...{ title: 'A run', view: 'run', at: 'start-run' },
      say: 'Start a run: its readings belong to the springs and the stop that are fitted now.',
      done: run !== null || first !== undefined,
    },
    {
      ...{ title: 'The first reading, just above idle', view: 'run', ...reading },
      done: first !== undefined || (run?.readings.length ?? 0) > 0,
    },
    {
      title: `Rising speeds: ${hold.stepsDone} of ${hold.stepsAll} read`,
      ...{ view: 'run', ...reading },
      done: first !== undefined || (run !== null && hold.stepRpm === null),
    },
    {
      ...{ title: 'The run is whole', view: 'run', at: 'end-run' },
      say: 'Every step is read: end the run, so that other parts start another.',
      done: first !== undefined,
    },
    {
      ...{ title: 'The corners', view: 'result' },
      ...sight(
        'corners',
        'Where the advance starts and stops rising, and how sure that is: the curve in five figures.',
        'Five figures; “not seen yet” where readings are too few. Now go down to the order of work.',
        'work',
      ),
    },
    {
      ...{ title: 'The advice', view: 'result' },
      ...sight(
        'work',
        'What to change, in order, each with its figures: housing, stop, springs.',
        'A longer stop, lighter springs, then the housing. Now open Run and change them.',
        'view run',
      ),
    },
    {
      ...{ title: 'Other parts', view: 'run' },
      ...(bench ? benchWords(bench) : { say: 'Start the practice engine again.', at: 'start-practice' }),
      done: isChanged(bench) || second !== undefined,
    },
    {
      ...{ title: 'Another run', view: 'run', at: 'start-run' },
      say: 'Start another run: the same steps, with other parts, show what the change did.',
      done: run !== null || second !== undefined,
    },
    {
      title: `Read again: ${hold.stepsDone} of ${hold.stepsAll}`,
      view: 'run',
      ...(hold.stepRpm === null ? { say: 'Every step is read: end the run.', at: 'end-run' } : reading),
      done: second !== undefined,
    },
    {
      ...{ title: 'Side by side', view: 'log' },
      ...sight(
        'side-by-side',
        'Both runs over each other, and whether the change is more than chance.',
        'So you know what a change did, and did not do. Now open Jobs.',
        'view jobs',
      ),
    },
    {
      ...{ title: 'The file', view: 'jobs', at: 'save-job' },
      say: 'Save the job file: a browser may clear what it keeps, the file is yours.',
      done: facts.saved,
    },
  ];
}
