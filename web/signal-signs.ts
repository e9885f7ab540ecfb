/** What is worth saying about the sound, sign by sign: what is so, what to do. The report in, sentences out. */
import { NOTHING_TO_MEND, signalAdvice, type SignalFigures } from '../core/signal-advice';
import { durationText, levelText, numberText, percentText } from './format';
import { lostSound } from './lost-sound';
import type { SignalSentence } from './signal-words';
import type { InputFacts } from './state/contracts';
import type { Latest } from './worker/analysis-api';

export interface SignalSign extends SignalSentence {
  /** well: as it should be; look: may cost strikes; wrong: does. */
  readonly kind: 'well' | 'look' | 'wrong';
}

/** Above this share of samples at full scale strikes lose their shape: one sample in a thousand. */
const CLIPPED_SHARE = 0.001;
const WEAK_PEAK = 0.02;
const LITTLE_OVER_NOISE_DB = 10;
/** Hum that is a tenth of the peaks or more. */
const HUM_SHARE = 0.1;

/** Every sign that the last report gives, what is wrong first.
 * @param figures of the last strikes, which tell more than the report; null before a strike is learnt */
export function signalSigns(
  latest: Latest,
  input: InputFacts | null,
  figures: SignalFigures | null = null,
): SignalSign[] {
  const ofStrikes = figures ? signalAdvice(figures) : [levelSign(latest), noiseSign(latest), humSign(latest)];
  const signs = [
    ...ofStrikes,
    toneSign(latest),
    channelSign(latest),
    processingSign(input),
    lostSign(latest),
    sleepSign(latest),
    keepingSign(latest),
  ].filter((sign) => sign !== null);
  const order = ['wrong', 'look', 'well'];
  const isWell = signs.every(({ kind }) => kind === 'well');
  const told = isWell ? signs : signs.filter(({ says }) => says !== NOTHING_TO_MEND);
  return told.sort((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind));
}

function levelSign({ report }: Latest): SignalSign {
  const { peak, clippedShare } = report;
  if (clippedShare > CLIPPED_SHARE)
    return {
      kind: 'wrong',
      says: `${percentText(clippedShare)} of the last second stands at full scale.`,
      act: 'Bring the input level down.',
    };
  if (peak > 0 && peak < WEAK_PEAK)
    return {
      kind: 'look',
      says: `The level is low: it peaks at ${levelText(peak)}.`,
      act: 'Bring the input level up.',
    };
  return { kind: 'well', says: `The level peaks at ${levelText(peak)} of full scale.`, act: '' };
}

function noiseSign({ report: { strikeToNoiseDb } }: Latest): SignalSign | null {
  if (strikeToNoiseDb === null) return null;
  const says = `Strikes stand ${numberText(strikeToNoiseDb)} dB over the noise.`;
  return strikeToNoiseDb < LITTLE_OVER_NOISE_DB
    ? { kind: 'look', says, act: 'Close the clamp fully or move it along the lead, away from the others.' }
    : { kind: 'well', says, act: '' };
}

/** A tone that is not the mains' own: as a rule the alternator, whose whine follows the engine's speed. */
function toneSign({ report: { humAmplitude, steadyTone } }: Latest): SignalSign | null {
  if (humAmplitude !== null || !steadyTone) return null;
  return {
    kind: 'look',
    says: 'A steady tone stands in the sound; if it rises with the engine’s speed, it is the alternator.',
    act: 'Lead the cable away from the alternator and its wires. The tone is taken out before strikes are found.',
  };
}

function humSign({ report: { humAmplitude, humHz, peak } }: Latest): SignalSign | null {
  if (humAmplitude === null || humHz === null) return null;
  const says = `Mains hum at ${humHz} Hz, ${levelText(humAmplitude)} of full scale.`;
  return humAmplitude > HUM_SHARE * peak
    ? { kind: 'look', says, act: 'Keep the cable off mains leads; run the laptop on its battery.' }
    : { kind: 'well', says, act: '' };
}

function channelSign({ channelsIdentical }: Latest): SignalSign | null {
  return channelsIdentical === true
    ? {
        kind: 'look',
        says: 'Left and right are the same in every sample: the input mixes them.',
        act: 'Plug the clamp into one channel of a stereo line input, or leave the other channel open.',
      }
    : null;
}

function processingSign(input: InputFacts | null): SignalSign | null {
  if (!input || input.processingOn.length === 0) return null;
  return {
    kind: 'wrong',
    says: `The system still has this on: ${input.processingOn.join(', ')}.`,
    act: 'Turn it off in the system’s sound settings, or choose a line input.',
  };
}

function lostSign(latest: Latest): SignalSign | null {
  const { times, ms } = lostSound(latest);
  if (times === 0) return null;
  const lost = ms === null ? '' : `, ${numberText(ms)} ms in all`;
  return {
    kind: 'look',
    says: `Sound was lost ${times === 1 ? 'once' : `${times} times`}${lost}.`,
    act: 'Close other programs; leave this tab in front.',
  };
}

function sleepSign({ unheardS }: Latest): SignalSign | null {
  return unheardS > 0
    ? {
        kind: 'look',
        says: `The machine slept: ${durationText(unheardS)} were not heard.`,
        act: 'Leave this tab in front and keep the machine awake.',
      }
    : null;
}

function keepingSign({ keepingProblem }: Latest): SignalSign | null {
  return keepingProblem === null
    ? null
    : { kind: 'wrong', says: keepingProblem, act: 'Save the job file now, then make room on this machine.' };
}
