/** The advances offered for one tap: what the mark is likely to show at the pinned speed, and the values around it. */
import type { Corrections, Reading, Target } from '../../../core/job';
import { lineAt } from '../../plot/picture';

export interface ChoiceFacts {
  readonly rpm: number;
  /** The fitted curve, rpm rising; null before there is one. */
  readonly curve: { readonly rpm: readonly number[]; readonly advanceDeg: readonly number[] } | null;
  readonly last: Pick<Reading, 'rpm' | 'seenDeg'> | null;
  readonly target: Target | null;
  /** From an advance to what the tape then shows: the corrections undone. */
  readonly seenAt: (advanceDeg: number, rpm: number, corrections: Corrections) => number;
  readonly corrections: Corrections;
}

/** What the tape is likely to show: from the curve, else from the last reading moved along the target's slope, else
 * from the target; null where there is nothing to go by. */
export function likelySeenDeg(facts: ChoiceFacts): number | null {
  const { rpm, curve, last, target } = facts;
  const fromCurve =
    curve &&
    lineAt(
      curve.rpm.map((x, i) => [x, curve.advanceDeg[i]!]),
      rpm,
    );
  if (fromCurve !== null) return facts.seenAt(fromCurve, rpm, facts.corrections);
  const corners = target?.corners.map((corner): [number, number] => [corner.rpm, corner.advanceDeg]) ?? [];
  const wanted = lineAt(corners, rpm);
  if (last) return last.seenDeg + ((wanted ?? 0) - (lineAt(corners, last.rpm) ?? 0));
  return wanted === null ? null : facts.seenAt(wanted, rpm, facts.corrections);
}

/** Values around the likely one, in rising order.
 * @param stepDeg 1 or 0.5 @param count odd, so that the likely one stands in the middle */
export function choicesAround(likelyDeg: number | null, stepDeg: number, count: number): number[] {
  if (likelyDeg === null) return [];
  const middle = Math.round(likelyDeg / stepDeg);
  return Array.from({ length: count }, (_, i) => (middle + i - (count - 1) / 2) * stepDeg + 0);
}
