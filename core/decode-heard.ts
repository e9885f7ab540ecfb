/** What the strikes look like, in the words of what is heard: the chain's picture and report in, figures and the learnt
 * strike out, as plain data for a page. */
import type { SignalPicture, SignalReport } from '../dsp/strike-chain';
import type { SignalFigures } from './signal-advice';

/** The learnt strike, evenly spaced points. */
export interface LearntStrike {
  /** Its points, peak 1 or -1, and the standard deviation of single strikes brought to one height at each. */
  readonly shape: Float32Array;
  readonly scatter: Float32Array;
  readonly pointsPerS: number;
  /** From the first point to the strike's place, seconds. */
  readonly alignedAtS: number;
}

export interface HeardSignal {
  readonly figures: SignalFigures;
  readonly strike: LearntStrike;
}

/** Above this share of cut-off strikes their shape no longer tells which way they point. */
const HIDDEN_BY_CLIPPING = 0.2;

/** @returns null before a strike is learnt */
export function heardOf(picture: SignalPicture | null, report: SignalReport): HeardSignal | null {
  if (!picture?.recent) return null;
  const { shape, scatter, pointsPerS, alignedAtS, recent } = picture;
  let tallest = 0;
  for (const value of shape) if (Math.abs(value) > Math.abs(tallest)) tallest = value;
  return {
    strike: { shape, scatter, pointsPerS, alignedAtS },
    figures: {
      ...recent,
      overNoiseDb: report.strikeToNoiseDb,
      pointsDown: recent.clipped > HIDDEN_BY_CLIPPING * recent.strikes ? null : tallest < 0,
      peak: report.peak,
      humAmplitude: report.humAmplitude,
      humHz: report.humHz,
    },
  };
}
