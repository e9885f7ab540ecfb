/** Sound that never came, as far as anything tells of it: frames that the source counted and did not give, and jumps of
 * the strikes' beat where it vanished uncounted. */
import type { Latest } from './worker/analysis-api';

export interface LostSound {
  readonly times: number;
  /** At least so many milliseconds; null before the source's rate is known. */
  readonly ms: number | null;
}

export function lostSound({ lostBlocks, lostFrames, sampleRateHz, report }: Latest): LostSound {
  const counted = sampleRateHz > 0 ? (1000 * lostFrames) / sampleRateHz : null;
  return { times: lostBlocks + report.slips, ms: counted === null ? null : counted + 1000 * report.slippedS };
}
