/** The run in words: how far off the step is, why no speed is shown, what is corrected. State in, sentences out. */
import type { Corrections } from '../../../core/job';
import { NORMAL_95 } from '../../../core/curve/student-t';
import { numberText, signedText } from '../../format';
import { reasonSentence } from '../../signal-words';
import type { HoldView, LiveState } from '../../state/contracts';

/** What stands under the tape. */
export function holdWords(hold: HoldView): string {
  if (hold.stepRpm === null) return hold.stepsAll ? 'All steps have a reading' : 'No steps set';
  if (hold.steady) return 'steady';
  if (hold.offRpm === null) return 'no speed';
  const off = Math.abs(Math.round(hold.offRpm));
  if (off < 5) return 'there: hold it';
  return `${off} rpm too ${hold.offRpm < 0 ? 'low' : 'high'}`;
}

/** Why no speed is shown; empty when one is. */
export function noSpeedWords(live: Pick<LiveState, 'phase' | 'source' | 'rpm' | 'latest'>): string {
  if (live.rpm !== null) return '';
  if (live.phase === 'idle') return 'No sound yet: type speeds, or choose a source in Sound.';
  if (live.phase === 'opening') return 'Opening the sound…';
  if (live.phase === 'ended') return `The ${live.source ?? 'sound'} has ended.`;
  const report = live.latest?.report;
  if (report?.reason) return reasonSentence(report.reason).says;
  return report?.state === 'lost' ? 'The beat is lost.' : 'Listening for strikes…';
}

/** The corrections that are not zero, "tape +2° ± 0.7°, light 40 µs"; null when nothing is corrected. */
export function correctionsText({
  tapeZeroErrorDeg,
  tapeZeroSdDeg,
  lightDelayUs,
}: Corrections): string | null {
  const spread = tapeZeroSdDeg ? ` ± ${numberText(NORMAL_95 * tapeZeroSdDeg, 1)}°` : '';
  const parts = [
    tapeZeroErrorDeg || spread
      ? `tape ${signedText(tapeZeroErrorDeg, Number.isInteger(tapeZeroErrorDeg) ? 0 : 1)}°${spread}`
      : '',
    lightDelayUs ? `light ${numberText(lightDelayUs)} µs` : '',
  ].filter(Boolean);
  return parts.length ? parts.join(', ') : null;
}
