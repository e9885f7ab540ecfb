/** How a beat is followed, by how clearly its strikes stand out of the noise. Plain figures. */
import { MISS_COST } from './beat-costs';
import { LEAST_SCATTER } from './beat-period';

export interface Following {
  /** Relative deviation of an interval that is never called unusual. */
  readonly leastScatter: number;
  /** What a strike that did not come costs. */
  readonly missCost: number;
  /** How fast the usual height follows the last, logarithm. */
  readonly levelGain: number;
  /** An impulse just after one as tall is its kick or ringing. */
  readonly echoes: boolean;
}

export const CLEARLY: Following = {
  leastScatter: LEAST_SCATTER,
  missCost: MISS_COST,
  levelGain: 0.3,
  echoes: true,
};

/** Among noise as tall as strikes: what is due when tells them apart, a strike unseen is one hidden by noise, and no
 * single height says much. */
export const WEAKLY: Following = { leastScatter: 2e-3, missCost: 3.5, levelGain: 0.08, echoes: false };
