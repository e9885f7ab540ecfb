/** What the timing tape is to show, as it was last chosen on this page: it outlasts a look at another view. */
import type { RotorSense } from '../../../core/engine';
import type { LengthUnit } from '../../../core/tape/tape-parts';
import type { Paper } from '../../../core/tape/tape-sheets';

export interface TapeChoice {
  lengths: LengthUnit;
  sense: RotorSense;
  span: 'round' | 'part';
  /** Crank degrees each side of top dead centre, for a part. */
  beforeDeg: number;
  afterDeg: number;
  /** Marks for the other cylinders. */
  others: boolean;
  paper: Paper;
}

export const tapeChoice: TapeChoice = $state({
  ...{ lengths: 'mm', sense: 'clockwise', span: 'round', beforeDeg: 60, afterDeg: 20 },
  ...{ others: false, paper: 'a4' },
});

/** Crank degrees before and after top dead centre that are printed. */
export const tapeRange = ({ span, beforeDeg, afterDeg }: TapeChoice) =>
  span === 'round' ? { beforeDeg: 180, afterDeg: 180 } : { beforeDeg, afterDeg };
