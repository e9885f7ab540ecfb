/** Knock that was noted forbids more advance at its speed: notes of knock and a change of the curve in, what stands in
 * the change's way out. Knows nothing of why it knocked. */
import type { Job, Knock } from './job';

export interface KnockBlock {
  readonly knocks: readonly Knock[];
  readonly text: string;
}

/** A change smaller than this is none, crank degrees. */
const LEAST_DEG = 0.05;
/** The speed of a knock is where it was heard, not where it begins. */
const NEAR_SHARE = 0.05;
const NEAR_STEPS = [-1, -0.5, 0, 0.5, 1] as const;

/** Every knock noted in a job's runs. */
export const knocksOf = ({ runs }: Pick<Job, 'runs'>): Knock[] => runs.flatMap(({ knocks }) => knocks);

/** The knocks at whose speeds, or within 5 % of them, a change adds advance. A change not known there counts as more.
 * @param addedDeg what the change adds at a speed, crank degrees; null: not known
 * @returns null where no note stands in the way */
export function knockBlock(
  knocks: readonly Knock[],
  addedDeg: (rpm: number) => number | null,
): KnockBlock | null {
  const adds = (rpm: number): boolean =>
    NEAR_STEPS.some((step) => (addedDeg(rpm * (1 + step * NEAR_SHARE)) ?? Infinity) > LEAST_DEG);
  const inWay = knocks.filter(({ rpm }) => adds(rpm)).toSorted((a, b) => a.rpm - b.rpm);
  if (inWay.length === 0) return null;
  const speeds = [...new Set(inWay.map(({ rpm }) => Math.round(rpm)))];
  const at = speeds.length === 1 ? `${speeds[0]}` : `${speeds.slice(0, -1).join(', ')} and ${speeds.at(-1)}`;
  return {
    knocks: inWay,
    text: `Knock was noted at ${at} rpm: nothing that adds advance there is advised while that note stands.`,
  };
}
