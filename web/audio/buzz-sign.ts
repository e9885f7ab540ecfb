/** The signs of a run felt in the hand: vibration, where the machine has it. One pattern a sign, so that no two feel
 * alike. */
import type { Sign, SignGiver } from './steady-sign';

/** Milliseconds on, off, on. */
export const PATTERNS: Readonly<Record<Sign, readonly number[]>> = {
  steady: [60, 60, 140],
  left: [300],
  pinned: [40],
  stored: [40, 60, 40],
};

type Shaker = (pattern: number[]) => boolean;

/** @returns how this machine vibrates; null where it cannot */
function shaker(): Shaker | null {
  return typeof navigator !== 'undefined' && 'vibrate' in navigator
    ? (pattern) => navigator.vibrate(pattern)
    : null;
}

export const canBuzz = (): boolean => shaker() !== null;

export class BuzzSign implements SignGiver {
  readonly #shake: Shaker | null;

  constructor(shake: Shaker | null = shaker()) {
    this.#shake = shake;
  }

  give(sign: Sign): void {
    this.#shake?.([...PATTERNS[sign]]);
  }
}
