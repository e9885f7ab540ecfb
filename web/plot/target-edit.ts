/** Changes to a target's corners: moved, added, taken away, always in rising order of speed. A target in, a new one out. */
import type { Target, TargetCorner } from '../../core/job';

export const RPM_STEP = 50;
export const DEG_STEP = 0.5;
const [LEAST_DEG, MOST_DEG] = [-20, 70];

const snap = (value: number, step: number): number => Math.round(value / step) * step;
const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));

/** Moves one corner to the nearest step, no further than its neighbours.
 * @throws RangeError if there is no such corner */
export function moveCorner(target: Target, index: number, to: TargetCorner): Target {
  const { corners } = target;
  if (!corners[index])
    throw new RangeError(`there are ${corners.length} corners, asked for number ${index + 1}`);
  const low = (corners[index - 1]?.rpm ?? 0) + RPM_STEP;
  const high = (corners[index + 1]?.rpm ?? 12_000) - RPM_STEP;
  const moved = {
    rpm: clamp(snap(to.rpm, RPM_STEP), low, Math.max(low, high)),
    advanceDeg: clamp(snap(to.advanceDeg, DEG_STEP), LEAST_DEG, MOST_DEG),
  };
  return { ...target, corners: corners.map((corner, i) => (i === index ? moved : corner)) };
}

/** Adds a corner at the nearest step; the same target where one stands already at that speed. */
export function addCorner(target: Target, at: TargetCorner): Target {
  const rpm = Math.max(RPM_STEP, snap(at.rpm, RPM_STEP));
  if (target.corners.some((corner) => Math.abs(corner.rpm - rpm) < RPM_STEP)) return target;
  const added = { rpm, advanceDeg: clamp(snap(at.advanceDeg, DEG_STEP), LEAST_DEG, MOST_DEG) };
  return { ...target, corners: [...target.corners, added].sort((a, b) => a.rpm - b.rpm) };
}

/** A corner in the middle of the widest gap, where the line is already: for those who add without a pointer.
 * An empty target gets one of 10 degrees at 1000 rpm. */
export function addCornerBetween(target: Target): Target {
  const { corners } = target;
  const last = corners.at(-1);
  if (!last) return addCorner(target, { rpm: 1000, advanceDeg: 10 });
  const gaps = corners.slice(1).map((corner, i) => ({ from: corners[i]!, to: corner }));
  const widest = gaps.sort((a, b) => b.to.rpm - b.from.rpm - (a.to.rpm - a.from.rpm))[0];
  if (!widest) return addCorner(target, { rpm: last.rpm + 1000, advanceDeg: last.advanceDeg });
  const { from, to } = widest;
  return addCorner(target, {
    rpm: (from.rpm + to.rpm) / 2,
    advanceDeg: (from.advanceDeg + to.advanceDeg) / 2,
  });
}

/** Takes one corner away. */
export const removeCorner = (target: Target, index: number): Target => ({
  ...target,
  corners: target.corners.filter((_, i) => i !== index),
});
