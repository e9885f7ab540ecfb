/** Changes to a target as hand and keys make them on the plot: in steps of 50 rpm and half degrees. */
import type { Target, TargetCorner } from '../../core/job';
import { addCorner as add, moveCorner as move } from '../../core/target';

export { removeCorner } from '../../core/target';

export const RPM_STEP = 50;
export const DEG_STEP = 0.5;

const snap = (value: number, step: number): number => Math.round(value / step) * step;
const toStep = ({ rpm, advanceDeg }: TargetCorner): TargetCorner => ({
  rpm: Math.max(RPM_STEP, snap(rpm, RPM_STEP)),
  advanceDeg: snap(advanceDeg, DEG_STEP),
});

/** Moves one corner to the nearest step, no further than its neighbours.
 * @throws RangeError if there is no such corner */
export const moveCorner = (target: Target, index: number, to: TargetCorner): Target =>
  move(target, index, toStep(to), RPM_STEP);

/** Adds a corner at the nearest step; the same target where one stands already at that speed. */
export const addCorner = (target: Target, at: TargetCorner): Target => add(target, toStep(at), RPM_STEP);

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
