/** What is heard, in words: the state, the reason there is no speed, and what to do about it. Words only. */
import type { LiveState } from './state/contracts';
import type { NoSpeedReason } from './worker/analysis-api';

export interface SignalSentence {
  /** What is so. */
  readonly says: string;
  /** What to do about it; empty where nothing is to be done. */
  readonly act: string;
}

const REASONS: Readonly<Record<NoSpeedReason, SignalSentence>> = {
  silence: {
    says: 'The input is silent.',
    act: 'Check the plug and the input chosen, bring its level up in the system’s sound settings, and see that the clamp is closed.',
  },
  clipping: {
    says: 'The signal is too strong: its strikes are cut flat.',
    act: 'Bring the input level down, or move the clamp away from the other leads.',
  },
  'only hum': {
    says: 'Only mains hum is heard.',
    act: 'Close the clamp round the lead and keep its cable off mains leads; run the laptop on its battery.',
  },
  'too weak': {
    says: 'Strikes are there, but too weak to tell from the noise.',
    act: 'Bring the input level up, close the clamp fully, or move it along the lead.',
  },
  'speech processing': {
    says: 'The system filters this input for speech and swallows strikes.',
    act: 'Turn off noise reduction and automatic gain in the system’s sound settings, or use a line input.',
  },
  'no steady beat': {
    says: 'Strikes are heard, but no steady beat fits them.',
    act: 'Move the clamp off the other leads, turn it, or try another lead; check its place on the Engine page.',
  },
  'input repeats': {
    says: 'The input gives the same sound over and over.',
    act: 'Unplug it and plug it in again, then listen again.',
  },
};

/** @param reason why there is no speed; null where none was given */
export const reasonSentence = (reason: NoSpeedReason | null): SignalSentence =>
  reason === null ? { says: 'Waiting for a few strikes.', act: '' } : REASONS[reason];

/** One or two words for the state, for the strip at the top. */
export function stateWord({ source, phase, latest }: Pick<LiveState, 'source' | 'phase' | 'latest'>): string {
  if (source === null || phase === 'idle') return 'no sound yet';
  if (phase === 'opening') return 'opening';
  if (phase === 'ended') return 'ended';
  return latest?.report.state ?? 'listening';
}
