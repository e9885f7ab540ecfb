/** Changes to a target's corners by typing: exact values, always in rising order of speed. */
import type { TargetCorner } from '../../../core/job';

const byRpm = (corners: readonly TargetCorner[]): TargetCorner[] =>
  [...corners].sort((a, b) => a.rpm - b.rpm);

/** Why a corner cannot stand at this speed, as one sentence; null where it can. */
export function cornerProblem(corners: readonly TargetCorner[], index: number, rpm: number): string | null {
  const there = corners.some((corner, i) => i !== index && corner.rpm === rpm);
  return there ? `There is a corner at ${rpm} rpm already: two cannot share a speed.` : null;
}

/** @throws RangeError if there is no such corner */
export function setCorner(
  corners: readonly TargetCorner[],
  index: number,
  patch: Partial<TargetCorner>,
): TargetCorner[] {
  const corner = corners[index];
  if (!corner) throw new RangeError(`there are ${corners.length} corners, asked for number ${index + 1}`);
  return byRpm(corners.map((one, i) => (i === index ? { ...one, ...patch } : one)));
}
