/** What the readings show of a curve and what they leave open: the curves they allow in, a yes or no for each figure
 * out. */
import { cheapest, type ConfidenceSet, cornerInterval, type Interval, levelInterval } from './allowed-curves';
import { offScale, type RampShape } from './ramp-shapes';

/** Readings closer in speed than this belong to one step: an engine held by hand wanders so much. */
const STEP_RPM = 40;
const STEP_SHARE = 0.02;

/** The distinct speeds among readings in rising order: each step's lowest. */
export function stepsUp(rpm: ArrayLike<number>): number[] {
  const steps: number[] = [];
  for (const speed of Array.from(rpm))
    if (steps.length === 0 || speed - steps.at(-1)! > Math.max(STEP_RPM, STEP_SHARE * speed))
      steps.push(speed);
  return steps;
}

/** The same from above: each step's highest, falling. */
export function stepsDown(rpm: ArrayLike<number>): number[] {
  const steps: number[] = [];
  for (const speed of Array.from(rpm).reverse())
    if (steps.length === 0 || steps.at(-1)! - speed > Math.max(STEP_RPM, STEP_SHARE * steps.at(-1)!))
      steps.push(speed);
  return steps;
}

export interface CornerView {
  readonly value: number;
  readonly interval: Interval;
  /** The readings show the level stretch outside this corner. */
  readonly level: boolean;
  /** They show where the corner is, too. */
  readonly place: boolean;
  /** The best curve has two steps on that level, shown or not. */
  readonly looksLevel: boolean;
}

/** What a ramp that begins softly costs more where it is judged whether there is a level below it: such a start can
 * hardly be told from the steps below it, and were it believed as readily no level would be. Measured on made sets. */
const [SOFT, SOFTEST] = [2.5, 5];
const softPrice = ({ corners, power }: RampShape): number =>
  power === 3 ? SOFTEST : power === 2 && corners === 2 ? SOFT : 0;

/** A level stretch is shown when the corner's 95 % interval keeps clear of the outermost step, so that at least that
 * one lies past the corner, and the best curve has a second step wholly on the level. One step beside the ramp is as
 * well a slip, a bend or a shallower ramp. The corner's place needs steps on its inner side, too. */
export function startView(set: ConfidenceSet, rpm: ArrayLike<number>): CornerView {
  const value = offScale(set.best.scale, set.best.corners[0]!);
  const interval = cornerInterval(set, 0);
  const [up, down] = [stepsUp(rpm), stepsDown(rpm)];
  const judge = judgedStart(set, interval);
  const looksLevel = judge.value >= endOfStepUp(rpm, up, 1) && value > endOfStepUp(rpm, up, 0);
  const level = looksLevel && judge.low > endOfStepUp(rpm, up, 0);
  return {
    ...{ value, interval, level, looksLevel },
    place: level && interval.high < down[0]! && value <= (down[1] ?? -Infinity),
  };
}

/** The start and the least that it may be, soft ramps counted dearer; the whole interval where only those explain the
 * readings. */
function judgedStart(set: ConfidenceSet, interval: Interval): { value: number; low: number } {
  const best = cheapest(set.explored, set.count, set.known, softPrice);
  const { low } = cornerInterval(set, 0, softPrice);
  return { value: offScale(best.scale, best.corners[0]!), low: low === Infinity ? interval.low : low };
}

/** As `startView`, for the corner above. */
export function allInView(set: ConfidenceSet, rpm: ArrayLike<number>): CornerView {
  const value = offScale(set.best.scale, set.best.corners.at(-1)!);
  const interval = cornerInterval(set, -1);
  const [up, down] = [stepsUp(rpm), stepsDown(rpm)];
  const looksLevel = value <= endOfStepDown(rpm, down, 1);
  const level = looksLevel && interval.high < endOfStepDown(rpm, down, 0);
  return {
    ...{ value, interval, level, looksLevel },
    place: level && interval.low > up[0]! && value >= (up[1] ?? Infinity),
  };
}

/** The fastest reading of a step, counted from the lowest; infinite where no step lies beyond it. */
const endOfStepUp = (rpm: ArrayLike<number>, up: readonly number[], step: number): number =>
  Array.from(rpm).findLast((speed) => speed < (up[step + 1] ?? -Infinity)) ?? Infinity;
/** The slowest reading of a step, counted from the highest. */
const endOfStepDown = (rpm: ArrayLike<number>, down: readonly number[], step: number): number =>
  Array.from(rpm).find((speed) => speed > (down[step + 1] ?? Infinity)) ?? -Infinity;

/** Whether the advance changes with speed at all: the whole rise's 95 % interval, degrees. */
export const riseInterval = (set: ConfidenceSet): Interval =>
  levelInterval(set, () => (_, weights) => {
    weights[0] = -1;
    weights[weights.length - 1] = 1;
  });
