/** The job that the first five minutes are learnt in: what the practice engine is, the curve it shall have, and the parts
 * on its bench that give it. Plain data, made up. */
import type { EngineFacts } from '../engine';
import type { StepList, Target } from '../job';

export const PRACTICE_JOB_NAME = 'Practice engine';

/** What the bench knows of its engine; the rest stays unsaid. */
export const PRACTICE_ENGINE: Partial<EngineFacts> = {
  ...{ strokes: 4, cylinders: 8, pickup: 'plug', rotorSense: 'clockwise', idleRpm: 800 },
  housingDiameterMm: 80,
};

/** A mild engine's curve: initial 12 to 15, total 34 to 36 (common practice in the trade). */
export const PRACTICE_TARGET: Target = {
  corners: [
    { rpm: 1400, advanceDeg: 14 },
    { rpm: 2400, advanceDeg: 24 },
    { rpm: 3100, advanceDeg: 34 },
  ],
  bandDeg: 2,
};

/** From above both idles, the one found and the one wanted, with two steps under both starts so that each initial is
 * seen, to two past both all-in speeds. */
export const PRACTICE_STEPS: StepList = { startRpm: 950, endRpm: 4200, spacingRpm: 250 };

/** What of the bench gives the target. */
export const PRACTICE_GOAL = { springsId: 'middle', stopId: 'middle', housingDeg: 14 } as const;
