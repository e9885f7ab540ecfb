/** The step list: start, end and spacing in, the speeds to hold out; with the readings made, the next one. */
import type { Reading, StepList } from './job';

const MOST_STEPS = 200;
/** A reading belongs to a step that it is nearer to than this share of the spacing. */
const NEAR_SHARE = 0.3;

/** @returns the first thing wrong with a step list, as a plain sentence; null for a good one */
export function stepsProblem({ startRpm, endRpm, spacingRpm }: StepList): string | null {
  if (!(startRpm > 0 && endRpm > 0)) return 'The steps must start and end above 0 rpm.';
  if (!(spacingRpm > 0)) return 'The spacing of the steps must be above 0 rpm.';
  if (Math.abs(endRpm - startRpm) / spacingRpm > MOST_STEPS)
    return `These are more than ${MOST_STEPS} steps: widen the spacing.`;
  return null;
}

/** The speeds to hold, from start towards end; the end itself where the spacing meets it. Falling where it lies below.
 * @throws RangeError if the list is no good */
export function stepSpeeds(list: StepList): number[] {
  const problem = stepsProblem(list);
  if (problem !== null)
    throw new RangeError(`${problem} Got ${list.startRpm} to ${list.endRpm} by ${list.spacingRpm} rpm.`);
  const { startRpm, endRpm, spacingRpm } = list;
  const count = Math.floor(Math.abs(endRpm - startRpm) / spacingRpm + 1e-9) + 1;
  const sign = endRpm < startRpm ? -1 : 1;
  return Array.from({ length: count }, (_, i) => startRpm + sign * i * spacingRpm);
}

/** Whether a reading was made for this step: asked for by it, or, where none was asked for, made near it. */
export function belongsTo(
  reading: Pick<Reading, 'rpm' | 'stepRpm'>,
  stepRpm: number,
  spacingRpm: number,
): boolean {
  const near = Math.abs(reading.rpm - stepRpm) <= NEAR_SHARE * spacingRpm;
  return near || (reading.stepRpm === stepRpm && Math.abs(reading.rpm - stepRpm) <= spacingRpm / 2);
}

/** The steps of the list that have no reading yet, in its order.
 * @throws RangeError if the list is no good */
export const openSteps = (list: StepList, readings: readonly Pick<Reading, 'rpm' | 'stepRpm'>[]): number[] =>
  stepSpeeds(list).filter((step) => !readings.some((reading) => belongsTo(reading, step, list.spacingRpm)));

/** The next step without a reading: beyond the speed last read, the way the list goes, so that one that was passed over
 * does not come back at every reading; then those that were passed over.
 * @param readings in the order in which they were made
 * @returns null where every step has one
 * @throws RangeError if the list is no good */
export function nextStep(
  list: StepList,
  readings: readonly Pick<Reading, 'rpm' | 'stepRpm'>[],
): number | null {
  const open = openSteps(list, readings);
  const last = readings.at(-1);
  const way = list.endRpm < list.startRpm ? -1 : 1;
  return open.find((step) => last && way * (step - last.rpm) > 0) ?? open[0] ?? null;
}
