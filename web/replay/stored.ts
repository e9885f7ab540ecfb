/** What the store holds of a run that can be looked at and heard again: its trace, its sound. */
import type { SoundPiece } from '../state/contracts';
import { readSoundBetween } from '../store/sound-stretches';
import { wavOf } from '../files/run-files';
import { readTrace } from '../store/trace-store';

export { readTrace };

/** @returns null where no sound was kept in that part of the run
 * @throws what the browser refused */
export async function soundBetween(runId: string, fromS: number, toS: number): Promise<SoundPiece | null> {
  const stretch = await readSoundBetween(runId, fromS, toS);
  return stretch && { startS: stretch.startS, wav: wavOf(stretch) };
}
