/** When a reading of the beat is no longer to be believed. Plain sums on a reading. */
import type { Reading } from './reading-of-beat';

/** So many intervals without a strike, but within bounds. */
const LOST_INTERVALS = 14;
const SILENT_S = { least: 0.6, most: 2.5 } as const;
const LOST_STRAIN = 2.7;
/** Among noise a beat's strikes speak for it, each, by at least so much: noise itself comes by so much as often. */
export const LOST_AMONG_NOISE = -1;

/** Whether no strike came for long. */
export function isSilent({ periodS, lastS }: Reading, nowS: number): boolean {
  return nowS - lastS >= Math.min(SILENT_S.most, Math.max(SILENT_S.least, LOST_INTERVALS * periodS));
}

/** Whether its last strikes do not fit. */
export const isStrained = ({ amongNoise, strain }: Reading): boolean =>
  strain >= (amongNoise ? LOST_AMONG_NOISE : LOST_STRAIN);
