/** The strongest impulses of the last moments, all swinging the same way: where noise hides the beat they are strikes more
 * often than not, and their middle is a first guess of the shape. */
import type { Candidates } from './candidates';

const MOST = 48;
const FEWEST = 12;

export function strongestAlike(
  all: Candidates,
  from: number,
  sinceS: number,
): { candidates: number[]; sign: 1 | -1 } | null {
  const bySign = ([1, -1] as const).map((sign) => ({ sign, candidates: strongest(all, from, sinceS, sign) }));
  const heightOf = (c: number): number => all.peak[all.at(c)]!;
  const sums = bySign.map(({ candidates }) => candidates.reduce((sum, c) => sum + heightOf(c), 0));
  const best = sums[0]! >= sums[1]! ? bySign[0]! : bySign[1]!;
  return best.candidates.length < FEWEST ? null : best;
}

function strongest(all: Candidates, from: number, sinceS: number, sign: number): number[] {
  const kept: number[] = [];
  for (let c = Math.max(from, all.first); c < all.end; c++)
    if (all.sign[all.at(c)] === sign && all.timeS[all.at(c)]! >= sinceS) kept.push(c);
  kept.sort((a, b) => all.peak[all.at(b)]! - all.peak[all.at(a)]!);
  return kept.slice(0, MOST);
}
