/** Where an engine that has just caught first runs steadily enough to be followed: a beat in, the same beat from there on
 * out. Batch work. */
import type { Beat } from '../beat/beat-limits';
import type { Candidates } from '../impulses/candidates';

/** An engine catches that goes faster by so much within so many intervals, natural logarithm: a rough idle seldom does. */
const CAUGHT = 0.35;
const WITHIN = 6;
/** From one interval to the next it still does that goes faster by so much; once alone it may be a misfire. */
const STILL = 0.13;
/** So many strikes are left, or all stay. */
const FEWEST = 5;

/** A beat's first intervals, of a starter's turns, may be counted as several each, and nothing that is followed from them on
 * holds: strikes before the steady ones are left to be found one by one. */
export function afterCatching(all: Candidates, beat: Beat): Beat {
  const { strikes, steps } = beat;
  const timeS = (k: number): number => all.timeS[all.at(strikes[k]!)]!;
  const most = Math.min(WITHIN, strikes.length - FEWEST);
  const logS = (k: number): number => Math.log((timeS(k + 1) - timeS(k)) / steps[k + 1]!);
  let [first, falls, gain] = [0, 0, 0];
  for (let k = 0; k < most; k++) {
    const faster = logS(k) - logS(k + 1);
    if (k > 0 && (faster < -STILL || steps[k + 1]! > 1)) break; // a misfire, or no engine that catches
    gain = Math.max(0, gain + faster);
    if (faster > STILL && ++falls > 1 && gain > CAUGHT) first = k + 1;
  }
  if (first === 0) return beat;
  const left = steps.slice(first + 1);
  const intervals = left.reduce((sum, step) => sum + step, 0);
  return {
    ...beat,
    strikes: strikes.slice(first),
    steps: [0, ...left],
    periodS: (timeS(strikes.length - 1) - timeS(first)) / intervals,
  };
}
