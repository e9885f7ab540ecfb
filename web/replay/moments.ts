/** A run's readings on its trace: in the order of time, and what another moment would make of one. */
import type { Reading } from '../../core/job';
import { rowAt } from '../plot/trace-at';
import type { TraceView } from '../state/contracts';
import { speedOfMoment, stretchOfMoment, type MomentSpeed } from '../state/moment';

/** A reading that was pinned while there was sound. */
export type PinnedReading = Reading & { readonly timeS: number };

export const pinnedReadings = (readings: readonly Reading[]): PinnedReading[] =>
  readings
    .filter((reading): reading is PinnedReading => reading.timeS !== null)
    .sort((a, b) => a.timeS - b.timeS);

/** The trace as it stood at a moment. */
function upTo(trace: TraceView, atS: number): TraceView {
  const rows = rowAt(trace, atS) + 1;
  const cut = (column: Float64Array): Float64Array => column.subarray(0, rows);
  return { timeS: cut(trace.timeS), rpm: cut(trace.rpm), rpmSd: cut(trace.rpmSd) };
}

/** The speed that a reading pinned at a moment has; null where there was none. */
export const speedAt = (trace: TraceView, atS: number): MomentSpeed | null => speedOfMoment(upTo(trace, atS));

/** The stretch in which the mark was read, up to a moment, seconds; null where there was no speed. */
export const stretchAt = (trace: TraceView, atS: number): readonly [number, number] | null =>
  stretchOfMoment(upTo(trace, atS));
