/** The engine's crank, where both of its lengths are said. */
import type { EngineFacts } from '../../../core/engine';
import type { SliderCrank } from '../../../core/tdc/slider-crank';

/** @returns null where stroke or rod is not said, or the rod is too short to be one */
export const crankOf = ({ strokeMm, rodMm }: Pick<EngineFacts, 'strokeMm' | 'rodMm'>): SliderCrank | null =>
  strokeMm !== null && rodMm !== null && rodMm > strokeMm / 2 ? { strokeMm, rodMm } : null;
