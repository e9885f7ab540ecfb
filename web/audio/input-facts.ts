/** What to ask of a sound input, and what it says it gave: constraints out, settings in. Pure. */
import type { InputFacts } from '../state/contracts';

/** Asks for the plain sound of a line input: all voice processing off, both channels.
 * @param deviceId null: the browser's default input */
export function lineConstraints(deviceId: string | null): MediaTrackConstraints {
  return {
    ...(deviceId === null ? {} : { deviceId: { exact: deviceId } }),
    echoCancellation: false,
    noiseSuppression: false,
    autoGainControl: false,
    channelCount: 2,
  };
}

/** Settings as browsers give them; one that is not there is not known, which is not "off". */
export type ReadBack = MediaTrackSettings & { readonly voiceIsolation?: boolean };

const PROCESSING = [
  ['echoCancellation', 'echo cancelling'],
  ['noiseSuppression', 'noise suppression'],
  ['autoGainControl', 'automatic gain'],
  ['voiceIsolation', 'voice isolation'],
] as const;

/** @param contextRateHz the rate at which the sound reaches the page
 *  @returns what is known of the open input, for the person */
export function inputFacts(label: string, settings: ReadBack, contextRateHz: number): InputFacts {
  const processingOn = PROCESSING.filter(([key]) => isOn(settings[key])).map(([, words]) => words);
  const resampled = settings.sampleRate !== undefined && settings.sampleRate !== contextRateHz;
  return {
    label: label || 'Sound input',
    sampleRateHz: contextRateHz,
    channelCount: settings.channelCount ?? 1,
    processingOn: resampled
      ? [...processingOn, `resampling from ${settings.sampleRate} to ${contextRateHz} Hz`]
      : processingOn,
  };
}

// echoCancellation may also be the name of the kind that is on
const isOn = (setting: boolean | string | undefined): boolean =>
  setting !== undefined && setting !== false && setting !== '';
