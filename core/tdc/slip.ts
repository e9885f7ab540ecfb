/** Whether the tape's error stayed where it was: an engine's proofs in; a warning out where the newest stands further
 * from an earlier one than the readings allow. */
import { tQuantile } from '../curve/student-t';
import type { Figure } from '../fit';
import type { TdcProof } from '../job';
import { type ProvedError, proofResult } from './proof';
import type { SliderCrank } from './slider-crank';

export interface MovedZero {
  readonly earlier: TdcProof;
  readonly newest: TdcProof;
  /** Newest error less the earlier one. */
  readonly movedDeg: Figure;
  readonly text: string;
}

/** So many that Student's t is the normal. */
const MANY = 1e6;
const CHANCE = 0.05;

const deg = (value: number): string => value.toFixed(1).replace('-', '\u2212');

/** Compares the newest proof with each one before it: a ring may slip at once or little by little.
 * @param crank null: stroke or rod are not said
 * @returns the pair furthest apart in its own spread; null where nothing moved or there is nothing to compare
 * @source The difference of two normal figures; the 5 % chance shared among the comparisons (Bonferroni) */
export function movedZero(proofs: readonly TdcProof[], crank: SliderCrank | null): MovedZero | null {
  const known = proofs
    .map((proof) => ({ proof, result: proofResult(proof, crank) }))
    .filter((one): one is { proof: TdcProof; result: ProvedError } => 'errorDeg' in one.result)
    .sort((a, b) => (a.proof.at < b.proof.at ? -1 : 1));
  const newest = known.pop();
  if (newest === undefined || known.length === 0) return null;
  const reach = tQuantile(CHANCE / known.length, MANY);
  const moves = known.map((earlier) => {
    const value = newest.result.errorDeg.value - earlier.result.errorDeg.value;
    const sdDeg = Math.hypot(newest.result.sdDeg, earlier.result.sdDeg);
    return { earlier: earlier.proof, value, half: reach * sdDeg };
  });
  const excess = (move: (typeof moves)[number]): number => Math.abs(move.value) - move.half;
  const worst = moves.reduce((a, b) => (excess(b) > excess(a) ? b : a));
  if (!(excess(worst) > 0)) return null;
  const movedDeg = { value: worst.value, low: worst.value - worst.half, high: worst.value + worst.half };
  return { earlier: worst.earlier, newest: newest.proof, movedDeg, text: warning(movedDeg) };
}

const warning = ({ value, low, high }: Figure): string =>
  `The tape’s zero moved by ${deg(value)}° (${deg(low)} to ${deg(high)}) between two proofs, more than the readings allow. ` +
  'If tape and pointer were not touched, the damper’s ring may have slipped on its hub: such a damper is to be replaced, and no reading since the earlier proof can be trusted.';
