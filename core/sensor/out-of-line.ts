/** Whether a spark stands out of line with the one before it and the next one: their places in, yes or no out. An advance
 * goes from one spark to the next and on, not there and back; what does is a stray that was taken for a spark. What is
 * usual for this engine is learnt: the cylinders of an odd-firing one stand out by turns, worn points scatter. */
import type { CrankPlace } from './crank-turns';
import { offWholeDeg, type Firing } from './neighbours-agree';

/** Out of line by more than this, crank degrees, and by so many times what is usual. */
const LEAST_DEG = 5;
const TIMES_USUAL = 4;
/** What is usual is learnt over so many sparks. */
const LEARNT_OVER = 20;

export class OutOfLine {
  #usualDeg = 0;

  constructor(private readonly engine: Firing) {}

  /** For each spark once, in order of time. @returns false as well where a neighbour's place is not known */
  is(before: CrankPlace | null, place: CrankPlace, next: CrankPlace | null): boolean {
    const laterDeg = offWholeDeg(this.engine, before, place);
    const nextLaterDeg = offWholeDeg(this.engine, place, next);
    if (laterDeg === null || nextLaterDeg === null) return false;
    const isBack = laterDeg * nextLaterDeg < 0;
    const offDeg = isBack ? Math.min(Math.abs(laterDeg), Math.abs(nextLaterDeg)) : 0;
    const isOut = offDeg > LEAST_DEG + TIMES_USUAL * this.#usualDeg;
    this.#usualDeg += (offDeg - this.#usualDeg) / LEARNT_OVER;
    return isOut;
  }
}
