/** Strikes whose kicks seem taller than they are, since a kick falls on a repeat or rings with it: impulses in, those that
 * only follow another out of the way. Batch work. */
import { KICK_S } from '../beat/beat-costs';
import type { Candidates } from '../impulses/candidates';
import { middleOf } from '../quantile-of';

/** No kick comes sooner than this; those of one engine come as long after their strikes, to within so much. */
const SOONEST_S = 0.7e-3;
const SAME_S = 0.25e-3;
/** A kick is no lower by its strike. */
const LEAST_SHARE = 0.3;
/** Strikes have kicks where so many impulses that stand alone, and this share of them, are followed so. */
const FEWEST = 6;
const KICKED_SHARE = 0.75;

/** @param events candidates that may be strikes, oldest first
 * @returns those that are no other's kick; all of them where few are followed by one */
export function withoutFollowingKicks(all: Candidates, events: readonly number[]): readonly number[] {
  const alone = events.filter((c) => all.tallestBefore(c, KICK_S, 0) <= LEAST_SHARE * all.peak[all.at(c)]!);
  const afterS = alone.map((c) => kickAfterS(all, c)).filter((each) => each !== null);
  if (afterS.length === 0) return events;
  const middleS = middleOf(afterS);
  const same = afterS.filter((each) => Math.abs(each - middleS) < SAME_S).length;
  if (same < Math.max(FEWEST, KICKED_SHARE * alone.length)) return events;
  const first = new Set(alone);
  let lastS = -Infinity;
  return events.filter((c) => {
    const timeS = all.timeS[all.at(c)]!;
    if (first.has(c)) lastS = timeS;
    return timeS === lastS || timeS - lastS > KICK_S;
  });
}

/** When the tallest impulse comes that may be a candidate's kick, seconds after it. */
function kickAfterS(all: Candidates, candidate: number): number | null {
  const i = all.at(candidate);
  let tallest = LEAST_SHARE * all.peak[i]!;
  let foundS: number | null = null;
  for (let c = candidate + 1; c < all.end; c++) {
    const afterS = all.timeS[all.at(c)]! - all.timeS[i]!;
    if (afterS > KICK_S) break;
    if (afterS < SOONEST_S || all.peak[all.at(c)]! < tallest) continue;
    tallest = all.peak[all.at(c)]!;
    foundS = afterS;
  }
  return foundS;
}
