/** What a decoded recording came to, as one line of JSON or a few lines in words. */
import type { NoClosingReason } from '../../dsp/closing/closing';
import type { NoRateReason, FollowState } from '../../dsp/follow-state';
import type { SignalReport } from '../../dsp/strike-chain';
import type { DwellSeen } from '../decode-dwell';
import type { SparkSummary } from './cli-decode-reference';
import type { WavFacts } from '../../dsp/wav/wav-reader';

export interface RpmRange {
  readonly min: number;
  readonly median: number;
  readonly max: number;
}

export interface FileSummary {
  readonly file: string;
  readonly facts: WavFacts;
  readonly frames: number;
  readonly warnings: readonly string[];
  /** From 0: the channel that was read. */
  readonly channel: number;
  /** null where no speed was found. */
  readonly rpm: RpmRange | null;
  readonly report: SignalReport;
  /** null where the clamp does not sit on the coil lead. */
  readonly dwell: DwellSeen | null;
  /** Against a crank sensor; null where none was named. */
  readonly sparks: SparkSummary | null;
}

const rounded = (value: number, decimals: number): number => Number(value.toFixed(decimals));
const roundedOrNull = (value: number | null, decimals: number): number | null =>
  value === null ? null : rounded(value, decimals);

/** One line of JSON; every key carries its unit, shares are of full scale or of all samples. */
export function summaryJson(summary: FileSummary): string {
  const { facts, rpm, report } = summary;
  return JSON.stringify({
    file: summary.file,
    duration_s: rounded(summary.frames / facts.sampleRateHz, 6),
    sample_rate_hz: facts.sampleRateHz,
    channels: facts.channelCount,
    channel: summary.channel + 1,
    strikes: report.strikes,
    missed: report.missed,
    set_aside: report.setAside,
    slips: report.slips,
    slipped_s: rounded(report.slippedS, 4),
    rpm_min: roundedOrNull(rpm && rpm.min, 3),
    rpm_median: roundedOrNull(rpm && rpm.median, 3),
    rpm_max: roundedOrNull(rpm && rpm.max, 3),
    state: report.state,
    reason: report.reason,
    peak_share: rounded(report.peak, 6),
    rms_share: rounded(report.rms, 6),
    clipped_share: rounded(report.clippedShare, 6),
    hum_amplitude_share: roundedOrNull(report.humAmplitude, 6),
    hum_hz: report.humHz,
    steady_tone: report.steadyTone,
    strike_to_noise_db: roundedOrNull(report.strikeToNoiseDb, 1),
    ...(summary.dwell ? dwellJson(summary.dwell) : {}),
    ...(summary.sparks ? sparksJson(summary.sparks) : {}),
    warnings: summary.warnings,
  });
}

const dwellJson = ({ dwell, reason }: DwellSeen): object => ({
  dwell_deg: roundedOrNull(dwell && dwell.deg, 3),
  dwell_sd_deg: roundedOrNull(dwell && dwell.degSd, 3),
  dwell_percent: roundedOrNull(dwell && dwell.percent, 3),
  dwell_sd_percent: roundedOrNull(dwell && dwell.percentSd, 3),
  dwell_scatter_deg: roundedOrNull(dwell && dwell.scatterDeg, 3),
  dwell_reason: reason,
});

const NO_DWELL: Readonly<Record<NoClosingReason, string>> = {
  'too few strikes': 'too few strikes yet',
  'uneven beat': 'the strikes do not come evenly',
  'not seen': 'no impulse keeps to its place between the strikes',
  'speed unchanged': 'what is heard may be the end of the spark: a change of speed tells',
  several: 'more than one impulse keeps its place between the strikes: is it the coil lead?',
};

function dwellText({ dwell, reason }: DwellSeen): string {
  if (!dwell) return `  dwell: not seen; ${NO_DWELL[reason ?? 'not seen']}`;
  const { deg, degSd, percent, scatterDeg } = dwell;
  return (
    `  dwell: ${deg.toFixed(1)} deg of the distributor (standard deviation ${degSd.toFixed(2)}), ` +
    `${percent.toFixed(0)} %; ${scatterDeg.toFixed(1)} deg from spark to spark`
  );
}

const sparksJson = ({ sparks, unknown, beyond, pulses, missedPulses, range }: SparkSummary): object => ({
  sensor_pulses: pulses,
  sensor_missed: missedPulses,
  sparks_with_advance: sparks,
  sparks_without_advance: unknown,
  sparks_by_one_side: beyond,
  advance_min_deg: roundedOrNull(range && range.minDeg, 3),
  advance_median_deg: roundedOrNull(range && range.medianDeg, 3),
  advance_max_deg: roundedOrNull(range && range.maxDeg, 3),
  advance_scatter_deg: roundedOrNull(range && range.scatterDeg, 3),
});

function sparksText({ sparks, unknown, beyond, pulses, missedPulses, range }: SparkSummary): string {
  const oneSide = beyond === 0 ? '' : ` (${beyond} by pulses on one side only, less sure)`;
  const heard = `  crank sensor: ${pulses} pulses, ${missedPulses} missed; ${sparks} sparks with an advance${oneSide}, ${unknown} without`;
  if (!range) return `${heard}; advance: not seen`;
  const scatter =
    range.scatterDeg === null ? '' : `, scatter from spark to spark ${range.scatterDeg.toFixed(2)} deg`;
  return (
    `${heard}\n  advance: ${range.minDeg.toFixed(1)} to ${range.maxDeg.toFixed(1)} deg before TDC, ` +
    `median ${range.medianDeg.toFixed(1)} deg${scatter}`
  );
}

const REASONS: Readonly<Record<NoRateReason, string>> = {
  silence: 'the recording is silent here',
  clipping: 'the sound is clipped: turn the input down',
  'only hum': 'only mains hum is heard: is the clamp on the lead?',
  'too weak': 'the strikes are too weak to be told from the noise',
  'speech processing': 'the sound was changed by voice processing: turn it off and record again',
  'no steady beat': 'impulses are heard, but no engine speed fits them: is it the right lead and channel?',
};
const STATES: Readonly<Record<FollowState, string>> = {
  listening: 'no speed was known at the end',
  following: 'the speed was followed to the end',
  lost: 'the speed was lost before the end',
};

/** The summary in words, every figure with its unit. */
export function summaryText(summary: FileSummary): string {
  const { facts, rpm, report } = summary;
  const seconds = (summary.frames / facts.sampleRateHz).toFixed(3);
  const percent = (share: number): string => `${(share * 100).toFixed(1)} %`;
  const why = report.reason === null ? '' : `; ${REASONS[report.reason]}`;
  const { slips, slippedS } = report;
  const lost =
    slips === 0
      ? ''
      : `; the beat jumped ${slips} times as it does where sound is lost: ${(1000 * slippedS).toFixed(0)} ms or more`;
  const hum =
    report.humAmplitude === null ? 'no hum' : `hum ${report.humHz} Hz at ${percent(report.humAmplitude)}`;
  const clear =
    report.strikeToNoiseDb === null ? '' : `, strikes ${report.strikeToNoiseDb.toFixed(0)} dB over the noise`;
  return [
    `${summary.file}: ${seconds} s at ${facts.sampleRateHz} Hz, channel ${summary.channel + 1} of ${facts.channelCount}`,
    `  strikes: ${report.strikes} accepted, ${report.missed} missed, ${report.setAside} set aside${lost}`,
    rpm === null
      ? '  speed: none found'
      : `  speed: ${rpm.min.toFixed(1)} to ${rpm.max.toFixed(1)} rpm, median ${rpm.median.toFixed(1)} rpm`,
    ...(summary.dwell ? [dwellText(summary.dwell)] : []),
    ...(summary.sparks ? [sparksText(summary.sparks)] : []),
    `  state: ${STATES[report.state]}${why}`,
    `  last second, of full scale: peak ${percent(report.peak)}, rms ${percent(report.rms)}, ${hum}${clear}; ` +
      `${percent(report.clippedShare)} of the samples clipped`,
  ].join('\n');
}
