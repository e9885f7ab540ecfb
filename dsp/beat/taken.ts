/** How a strike is taken: by one reading of the beat, and once it is decided. Plain data. */
import type { Lie } from './next-strike';

/** What is told of a strike when it is decided. */
export interface Decided {
  candidate: number;
  /** Intervals since the strike before; 0 for the first. */
  steps: number;
  /** Its place in the pattern, from 0. */
  slot: number;
  /** How far it stands from an even beat because firing is uneven, in mean intervals. */
  place: number;
  /** What was paid for it since the one before: below 0 where it speaks for the beat. */
  spent: number;
}

/** How a reading takes a candidate for its next strike. */
export interface Taken extends Lie {
  slot: number;
  z: number;
  cost: number;
  /** Of it, what strikes that did not come cost. */
  missed: number;
  /** Of it, what says nothing against the beat. */
  excused: number;
  /** The period learns nothing from it. */
  jumped: boolean;
  /** A cut took nobody knows how many before it: the period is by now less well known. */
  uncounted: boolean;
}

export const makeTaken = (): Taken => ({
  steps: 1,
  slot: 0,
  deviation: 0,
  z: 0,
  cost: 0,
  missed: 0,
  excused: 0,
  jumped: false,
  uncounted: false,
});
