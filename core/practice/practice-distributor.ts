/** The practice engine's distributor: the springs and stops that lie on its bench, and the mechanism that they make. A
 * scenario of our own: no maker's part. */
import type { Strokes } from '../engine';
import type { Mechanism, Springs, Weights } from '../mechanism';

export interface PracticeChoice {
  readonly id: string;
  readonly label: string;
}
export interface PracticeSprings extends PracticeChoice {
  readonly springs: Springs;
}
export interface PracticeStop extends PracticeChoice {
  /** Crank degrees. */
  readonly rangeDeg: number;
}

/** Two weights of 45 g on pins 22 mm out. */
const WEIGHTS: Weights = {
  kind: 'swinging',
  count: 2,
  massKg: 0.045,
  pinRadiusMm: 22,
  armMm: 16,
  restAngleDeg: 75,
  swingPerDeg: 2.5,
};

/** From the lightest to the heaviest. */
export const PRACTICE_SPRINGS: readonly PracticeSprings[] = [
  { id: 'light', label: 'Light pair', springs: { preloadNm: 0.055, rateNmPerDeg: 0.0385, second: null } },
  { id: 'middle', label: 'Middle pair', springs: { preloadNm: 0.165, rateNmPerDeg: 0.066, second: null } },
  { id: 'heavy', label: 'Heavy pair', springs: { preloadNm: 0.215, rateNmPerDeg: 0.11, second: null } },
  {
    id: 'mixed',
    label: 'One light, one heavy with slack',
    springs: { preloadNm: 0.066, rateNmPerDeg: 0.03, second: { rateNmPerDeg: 0.12, slackDeg: 5 } },
  },
];

export const PRACTICE_STOPS: readonly PracticeStop[] = [
  { id: 'short', label: 'Short stop, 16°', rangeDeg: 16 },
  { id: 'middle', label: 'Middle stop, 20°', rangeDeg: 20 },
  { id: 'long', label: 'Long stop, 24°', rangeDeg: 24 },
];

function chosen<T extends PracticeChoice>(choices: readonly T[], id: string, what: string): T {
  const found = choices.find((choice) => choice.id === id);
  if (!found)
    throw new RangeError(`${what} must be one of ${choices.map((c) => c.id).join(', ')}, got ${id}`);
  return found;
}

/** @throws RangeError if an id names nothing on the bench */
export function practiceMechanism(springsId: string, stopId: string, strokes: Strokes = 4): Mechanism {
  return {
    strokes,
    weights: WEIGHTS,
    springs: chosen(PRACTICE_SPRINGS, springsId, 'springs').springs,
    stopRangeDeg: chosen(PRACTICE_STOPS, stopId, 'stop').rangeDeg,
  };
}
