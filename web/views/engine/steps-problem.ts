/** What is wrong with a step list, as a sentence. Plain numbers, revolutions a minute. */
import type { StepList } from '../../../core/job';

/** More than anyone would hold in an evening. */
const MOST_STEPS = 100;

/** @returns one sentence on what is wrong; null where the list can be held */
export function stepsProblem({ startRpm, endRpm, spacingRpm }: StepList): string | null {
  if (!(spacingRpm > 0)) return `The steps must be some rpm apart; this says ${spacingRpm}.`;
  if (endRpm <= startRpm)
    return `The last step must lie above the first; this says ${startRpm} to ${endRpm} rpm.`;
  const count = Math.floor((endRpm - startRpm) / spacingRpm) + 1;
  return count > MOST_STEPS
    ? `That makes ${count} steps; ${MOST_STEPS} are the most. Space them wider.`
    : null;
}
