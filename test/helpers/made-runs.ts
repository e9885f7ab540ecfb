/** Runs of mechanisms that are written down as formulas of their own: speeds and readings out, for tests of what is fitted
 * to them. */
import { createRandom } from '../../dsp/maker/random';

export interface MadePoint {
  readonly rpm: number;
  readonly advanceDeg: number;
}

/** Straight in the square of the speed from 1000 to 3000 rpm: 12 to 32 degrees. */
export const SQUARE = (rpm: number): number => 12 + Math.min(20, Math.max(0, ((rpm / 1000) ** 2 - 1) / 0.4));
/** Straight in the speed from 1000 to 3000 rpm: 12 to 32 degrees. */
export const STRAIGHT = (rpm: number): number => 12 + Math.min(20, Math.max(0, (rpm - 1000) / 100));
/** In the square of the speed, at 0.2 krpm² a degree to 8 degrees beyond the initial, at 0.8 from there to 20. */
export const TWO_SPRINGS = (rpm: number): number => {
  const square = (rpm / 1000) ** 2 - 1;
  return 12 + Math.min(20, Math.max(0, square < 1.6 ? square / 0.2 : 8 + (square - 1.6) / 0.8));
};

/** Even steps from one speed to another, normal scatter. */
export function madeRun(
  curve: (rpm: number) => number,
  options: { seed: number; count: number; sdDeg: number; fromRpm?: number; toRpm?: number },
): MadePoint[] {
  const { seed, count, sdDeg, fromRpm = 500, toRpm = 4200 } = options;
  const random = createRandom(seed, 5173);
  return Array.from({ length: count }, (_, i) => {
    const rpm = fromRpm + ((toRpm - fromRpm) * i) / (count - 1);
    return { rpm, advanceDeg: curve(rpm) + sdDeg * random.normal() };
  });
}
