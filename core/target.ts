/** The curve wanted: corners and a band in, its advance at any speed and what is wrong with it out; corners moved,
 * added, taken away. */
import { HIGHEST_RPM } from './engine';
import type { Target, TargetCorner } from './job';

export const LEAST_TARGET_DEG = -20;
export const MOST_TARGET_DEG = 70;

/** The advance wanted at a speed, crank degrees: straight lines between the corners, level outside them.
 * @throws RangeError if the target has no corners */
export function targetAt({ corners }: Pick<Target, 'corners'>, rpm: number): number {
  const [first, last] = [corners[0], corners.at(-1)];
  if (!first || !last) throw new RangeError('wanted a target with at least one corner, got none');
  if (rpm <= first.rpm) return first.advanceDeg;
  const k = corners.findIndex((corner) => rpm <= corner.rpm);
  if (k < 0) return last.advanceDeg;
  const [from, to] = [corners[k - 1]!, corners[k]!];
  return from.advanceDeg + ((to.advanceDeg - from.advanceDeg) * (rpm - from.rpm)) / (to.rpm - from.rpm);
}

/** The advances that pass at a speed, crank degrees.
 * @throws RangeError if the target has no corners */
export function targetBandAt(target: Target, rpm: number): { readonly low: number; readonly high: number } {
  const wanted = targetAt(target, rpm);
  return { low: wanted - target.bandDeg, high: wanted + target.bandDeg };
}

/** What is wrong with a target, in plain sentences; none for a good one. */
export function targetProblems({ corners, bandDeg }: Target): string[] {
  const problems: string[] = [];
  if (corners.length === 0) problems.push('The target has no corners: at least one is needed.');
  if (!(bandDeg > 0)) problems.push(`The band must be wider than 0 degrees, not ${bandDeg}.`);
  corners.forEach(({ rpm, advanceDeg }, i) => {
    const before = corners[i - 1];
    if (!(rpm > 0 && rpm <= HIGHEST_RPM))
      problems.push(`Corner ${i + 1} must lie above 0 and up to ${HIGHEST_RPM} rpm, not at ${rpm}.`);
    else if (before && rpm <= before.rpm)
      problems.push(`Corner ${i + 1} at ${rpm} rpm must lie above corner ${i} at ${before.rpm} rpm.`);
    if (!(advanceDeg >= LEAST_TARGET_DEG && advanceDeg <= MOST_TARGET_DEG))
      problems.push(
        `Corner ${i + 1} must lie between ${LEAST_TARGET_DEG} and ${MOST_TARGET_DEG} degrees, not at ${advanceDeg}.`,
      );
  });
  return problems;
}

const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));

/** Moves one corner, no nearer to its neighbours than `leastRpm`.
 * @throws RangeError if there is no such corner */
export function moveCorner(target: Target, index: number, to: TargetCorner, leastRpm = 50): Target {
  const { corners } = target;
  if (!corners[index]) throw new RangeError(`wanted a corner from 0 to ${corners.length - 1}, got ${index}`);
  const low = (corners[index - 1]?.rpm ?? 0) + leastRpm;
  const high = (corners[index + 1]?.rpm ?? HIGHEST_RPM + leastRpm) - leastRpm;
  const moved = {
    rpm: clamp(to.rpm, low, Math.max(low, high)),
    advanceDeg: clamp(to.advanceDeg, LEAST_TARGET_DEG, MOST_TARGET_DEG),
  };
  return { ...target, corners: corners.map((corner, i) => (i === index ? moved : corner)) };
}

/** Adds a corner in its place.
 * @returns the same target where one stands already within `leastRpm` */
export function addCorner(target: Target, at: TargetCorner, leastRpm = 50): Target {
  if (target.corners.some((corner) => Math.abs(corner.rpm - at.rpm) < leastRpm)) return target;
  return { ...target, corners: [...target.corners, at].sort((a, b) => a.rpm - b.rpm) };
}

/** Takes one corner away.
 * @throws RangeError if there is no such corner */
export function removeCorner(target: Target, index: number): Target {
  if (!target.corners[index])
    throw new RangeError(`wanted a corner from 0 to ${target.corners.length - 1}, got ${index}`);
  return { ...target, corners: target.corners.filter((_, i) => i !== index) };
}
