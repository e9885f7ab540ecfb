/** A stored trace as the job file has it, and back: NaN in one is null in the other. */
import type { TraceColumns } from '../../core/job';
import type { TraceRowsToKeep } from '../store/trace-store';

/** @returns null for a trace without rows */
export function toColumns({ timeS, rpm, rpmSd }: TraceRowsToKeep): TraceColumns | null {
  if (timeS.length === 0) return null;
  return { timeS: [...timeS], rpm: withNulls(rpm), rpmSd: withNulls(rpmSd) };
}

export const fromColumns = ({ timeS, rpm, rpmSd }: TraceColumns): TraceRowsToKeep => ({
  timeS: Float64Array.from(timeS),
  rpm: Float64Array.from(rpm, (value) => value ?? NaN),
  rpmSd: Float64Array.from(rpmSd, (value) => value ?? NaN),
});

const withNulls = (values: Float64Array): (number | null)[] =>
  Array.from(values, (value) => (Number.isNaN(value) ? null : value));
