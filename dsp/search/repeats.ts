/** Strikes that a box repeats: impulses in, one for each strike with the height of all its repeats out. Kicks that fall on
 * repeats make some of those taller than the strike, those of other leads as well; all together tell the leads apart.
 * Batch work. */
import type { Candidates } from '../impulses/candidates';
import { middleOf } from '../quantile-of';

/** A box repeats a strike about every millisecond. */
const SPACING_S = { least: 0.7e-3, most: 1.25e-3 } as const;
/** Repeats come so evenly, and are no lower by the strike. */
const EVEN_S = 0.1e-3;
const LEAST_SHARE = 0.3;
/** Nothing stood so long before a strike. */
const ALONE_S = 2.6e-3;
/** Strikes are repeated where so many of them, and this share, are followed by two at even distances. */
const FEWEST = 6;
const REPEATED_SHARE = 0.6;
const IN_A_ROW = 2;
/** What has no repeat counts as if its first had no height: strays have none. */
const FEWEST_HEIGHTS = 2;
/** A kick may hide one of the repeats. */
const MOST_APART = 2;

/** An impulse with its repeats. */
export interface Burst {
  readonly candidate: number;
  /** Mean of their peaks. */
  readonly height: number;
}

/** @param events candidates that may be strikes or their repeats, oldest first
 * @returns the first of each strike's, oldest first; null where strikes are not repeated */
export function burstsOf(all: Candidates, events: readonly number[]): Burst[] | null {
  const spacingS = spacingOf(all, events);
  if (spacingS === null) return null;
  const bursts: Burst[] = [];
  let untilS = -Infinity;
  for (const candidate of events) {
    const timeS = all.timeS[all.at(candidate)]!;
    if (timeS < untilS) continue;
    const heights = [all.peak[all.at(candidate)]!];
    let last = 0;
    for (let k = 1; k - last <= MOST_APART; k++) {
      const at = repeatAt(all, candidate, k * spacingS);
      if (at === null) continue;
      heights.push(all.peak[all.at(at)]!);
      last = k;
    }
    const sum = heights.reduce((total, height) => total + height, 0);
    bursts.push({ candidate, height: sum / Math.max(FEWEST_HEIGHTS, heights.length) });
    untilS = timeS + (last + 0.5) * spacingS;
  }
  return bursts;
}

/** Middle distance of repeats; null where too few strikes have any. */
function spacingOf(all: Candidates, events: readonly number[]): number | null {
  const spacings: number[] = [];
  let alone = 0;
  for (const candidate of events) {
    if (all.tallestBefore(candidate, ALONE_S, 0) > LEAST_SHARE * all.peak[all.at(candidate)]!) continue;
    alone++;
    const spacingS = spacingAfter(all, candidate);
    if (spacingS !== null) spacings.push(spacingS);
  }
  if (spacings.length === 0) return null;
  const middle = middleOf(spacings);
  const same = spacings.filter((each) => Math.abs(each - middle) < EVEN_S).length;
  return same >= Math.max(FEWEST, REPEATED_SHARE * alone) ? middle : null;
}

function spacingAfter(all: Candidates, candidate: number): number | null {
  const i = all.at(candidate);
  for (let c = candidate + 1; c < all.end; c++) {
    const afterS = all.timeS[all.at(c)]! - all.timeS[i]!;
    if (afterS > MOST_APART * SPACING_S.most) return null;
    if (!mayRepeat(all, candidate, c)) continue;
    for (let first = 1; first <= MOST_APART; first++)
      if (isSpacing(afterS / first) && runsOn(all, candidate, afterS / first, first)) return afterS / first;
  }
  return null;
}

const isSpacing = (spacingS: number): boolean => spacingS >= SPACING_S.least && spacingS <= SPACING_S.most;

/** Whether repeats follow in a row from one of them on. @param first which one it is */
function runsOn(all: Candidates, candidate: number, spacingS: number, first: number): boolean {
  for (let k = first + 1; k < first + IN_A_ROW; k++)
    if (repeatAt(all, candidate, k * spacingS) === null) return false;
  return true;
}

const mayRepeat = (all: Candidates, candidate: number, other: number): boolean =>
  all.sign[all.at(other)] === all.sign[all.at(candidate)] &&
  all.peak[all.at(other)]! > LEAST_SHARE * all.peak[all.at(candidate)]!;

/** What may repeat a candidate so long after it. */
function repeatAt(all: Candidates, candidate: number, afterS: number): number | null {
  const atS = all.timeS[all.at(candidate)]! + afterS;
  for (let c = candidate + 1; c < all.end; c++) {
    const offS = all.timeS[all.at(c)]! - atS;
    if (offS > EVEN_S) return null;
    if (offS > -EVEN_S && mayRepeat(all, candidate, c)) return c;
  }
  return null;
}
