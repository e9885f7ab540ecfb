/** What a run leaves as files: readings and trace as CSV, raw sound as WAV. The store in, Blobs out. */
import { writeReadings } from '../../core/files/csv-readings';
import { TRACE_HEADER, traceRow } from '../../core/files/csv-trace';
import type { Run } from '../../core/job';
import { advanceOf } from '../../core/reading';
import { wavHeader, wavTail } from '../../dsp/wav/wav-writer';
import { readSound, type SoundStretch } from '../store/sound-stretches';
import { readTrace } from '../store/trace-store';

export const CSV_TYPE = 'text/csv';
export const WAV_TYPE = 'audio/wav';

/** Readings with their corrections applied. */
export const readingsCsv = (run: Run): Blob =>
  new Blob([writeReadings(run.readings, (reading) => advanceOf(reading, run.corrections))], {
    type: CSV_TYPE,
  });

const ROWS_A_PART = 5000; // a few milliseconds

/** However long it is: what is made in pieces is not held as one text.
 * @param step called between the pieces, 0 to 1; throws where it is to stop
 * @returns null where the run has no trace */
export async function traceCsv(
  runId: string,
  step: (share: number) => Promise<void> = async () => undefined,
): Promise<Blob | null> {
  const { timeS, rpm, rpmSd } = await readTrace(runId);
  if (timeS.length === 0) return null;
  const parts: (string | Blob)[] = [TRACE_HEADER];
  for (let from = 0; from < timeS.length; from += ROWS_A_PART) {
    await step(from / timeS.length);
    let part = '';
    for (let i = from; i < Math.min(from + ROWS_A_PART, timeS.length); i++)
      part += rowOf(timeS[i]!, rpm[i]!, rpmSd[i]!);
    parts.push(new Blob([part]));
  }
  return new Blob(parts, { type: CSV_TYPE });
}

function rowOf(timeS: number, rpm: number, rpmSd: number): string {
  const isGap = Number.isNaN(rpm);
  return traceRow(
    timeS,
    isGap ? null : rpm,
    Number.isNaN(rpmSd) ? null : rpmSd,
    isGap ? 'lost' : 'following',
  );
}

/** One WAV for each stretch without a break; none where no sound was kept.
 * @param step as for `traceCsv` */
export async function soundWavs(
  runId: string,
  step: (share: number) => Promise<void> = async () => undefined,
): Promise<Blob[]> {
  return (await readSound(runId, step)).map(wavOf);
}

/** A stretch of stored sound as a file. */
export const wavOf = ({ spec, frames, parts }: SoundStretch): Blob =>
  new Blob([wavHeader(spec, frames), ...parts, wavTail(spec, frames)], { type: WAV_TYPE });
