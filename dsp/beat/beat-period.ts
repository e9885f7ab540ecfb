/** How a reading of the beat learns: its period, its trend, the pattern of uneven firing, and how uneven it is. Plain
 * sums on a reading; nothing here chooses between readings. */
import { leftOutCost } from './beat-costs';
import type { Beat } from './beat-limits';
import type { Candidates } from '../impulses/candidates';
import type { Reading } from './reading-of-beat';

/** No engine gains or loses more in a second, by its lowest rate. */
const STEEPEST = 45;
/** Relative deviations of a steady engine's intervals, with room for one that is blipped, and of the roughest. */
export const LEAST_SCATTER = 0.012;
export const MOST_SCATTER = 0.13;
/** So many deviations off, a strike tells of a jump or a blip. */
export const JUMP_DEVIATIONS = 3.5;
/** Tall strays just halfway between two strikes, again and again: more likely the engine goes twice as fast. */
const HALFWAY_COST = 4;
const HALFWAY_WITHIN = 0.02;
const CROWD_COST = 2;
const CROWD_LEAST_SHARE = 0.88;
/** An impulse's kick and ringing last so long. */
export const STRAY_TAIL_S = 2.6e-3;
/** An uneven pattern learns by these shares, at first and later, and never from more than this. */
const SHIFT_GAIN_AT_FIRST = 0.4;
const SHIFT_GAIN = 0.05;
const MOST_SHIFT = 0.3;

/** An impulse left out; what follows it closely is its own, as a strike's kick is. */
export function strayCost(reading: Reading, timeS: number, share: number, others: number): number {
  const cost = leftOutCost(share, others);
  return timeS - reading.strayS < STRAY_TAIL_S ? Math.max(0, cost - reading.strayCost) : cost;
}

/** What tall strays cost besides, where more than one stands between two strikes or each halfway between them. */
export function crowdCost(reading: Reading, timeS: number, share: number): number {
  if (share < CROWD_LEAST_SHARE) return 0;
  const dueS = reading.dueAfterS(1);
  const halfway = Math.abs(timeS - reading.lastS - dueS / 2) < HALFWAY_WITHIN * dueS;
  if (halfway && Math.abs(timeS - reading.strayS - dueS) < HALFWAY_WITHIN * dueS) return HALFWAY_COST;
  return reading.strayS > reading.lastS && timeS - reading.strayS > STRAY_TAIL_S ? CROWD_COST : 0;
}

/** Relative deviation of the next interval that is usual by now. */
export function scatterOf(reading: Reading, least: number, most: number): number {
  return Math.min(most, Math.max(least, Math.sqrt(2 * reading.unevenness)));
}

/** Long and short intervals in turn, where they differ clearly. */
function learnAlternation(shift: Float64Array, steps: readonly number[], timeS: (i: number) => number): void {
  const sums = [0, 0];
  const counts = [0, 0];
  let slot = 0;
  for (let i = 1; i < steps.length; i++) {
    if (steps[i] === 1) {
      sums[slot % 2]! += timeS(i) - timeS(i - 1);
      counts[slot % 2]!++;
    }
    slot += steps[i]!;
  }
  if (counts[0]! < 2 || counts[1]! < 2) return;
  const half = Math.log(sums[0]! / counts[0]! / (sums[1]! / counts[1]!)) / 2;
  if (Math.abs(half) < 0.05) return;
  const mean = Math.log(Math.cosh(half)); // so that two intervals make two mean ones
  for (let s = 0; s < shift.length; s++) shift[s] = (s % 2 === 0 ? half : -half) - mean;
}

/** Intervals and their pattern from a beat's strikes, into a reading that begins with it.
 * @param found what the beat was found in @returns the mean square deviation */
export function learnBeat(reading: Reading, beat: Beat, found: Candidates): number {
  const { strikes, steps } = beat;
  const timeS = (i: number): number => found.timeS[found.at(strikes[i]!)]!;
  const pattern = reading.slotShift.length;
  const early = Math.min(strikes.length - 1, Math.max(4, pattern));
  let intervals = 0;
  for (let i = 1; i <= early; i++) intervals += steps[i]!;
  const seen = beat.isCut ? Math.max(1, steps.indexOf(1)) : 0;
  const periodS = beat.isCut ? beat.periodS : (timeS(early) - timeS(0)) / intervals;
  reading.knownS = timeS(seen);
  reading.logPeriod = Math.log(periodS);
  reading.slotShift.fill(0);
  if (beat.pattern) reading.slotShift.set(beat.pattern);
  else if (pattern % 2 === 0) learnAlternation(reading.slotShift, steps, timeS);
  let [sum, slot] = [0, 0];
  for (let i = 1; i <= early; i++) {
    let mean = 0;
    for (let k = 0; k < steps[i]!; k++) mean += Math.exp(reading.slotShift[(slot + k) % pattern]!);
    slot += steps[i]!;
    const due = Math.log((timeS(i) - timeS(i - 1)) / mean / periodS);
    sum += Math.min(0.01, due * due);
  }
  return sum / early;
}

/** Moves a reading's period towards the interval seen: wholly where it is far off, half where it scatters.
 * @param longestS interval at the lowest rate that can be */
export function followPeriod(
  taken: Reading,
  slotBefore: number,
  steps: number,
  deviation: number,
  z: number,
  anew: boolean,
  longestS: number,
): void {
  const far = Math.abs(z) > JUMP_DEVIATIONS;
  const patterned = taken.slotShift.length > 1;
  const gain = anew ? 1 : far ? 0.9 : patterned ? 0.3 : 0.5;
  taken.logPeriod += steps * taken.trend + gain * deviation;
  if (anew) taken.trend = 0;
  else taken.trend = far ? 0.3 * deviation : taken.trend + (patterned ? 0.05 : 0.15) * deviation;
  // a long interval where one was missing tells of a change that no engine makes, and would go on with it
  const steepest = (STEEPEST * taken.periodS ** 2) / longestS;
  taken.trend = Math.max(-steepest, Math.min(steepest, taken.trend));
  if (anew) return;
  const most = 12 * taken.unevenness + LEAST_SCATTER * LEAST_SCATTER;
  taken.unevenness += 0.2 * (Math.min(most, deviation * deviation) - taken.unevenness);
  if (far) taken.unevenness = Math.max(taken.unevenness, (deviation * deviation) / 8); // a blip goes on
  if (patterned && steps === 1) learnShift(taken, slotBefore, deviation);
}

/** Moves one interval of an uneven pattern by how far off it came, the whole pattern staying as long.
 * @param slotBefore place in the pattern of the strike before */
export function learnShift(
  { slotShift: shift, taken }: Reading,
  slotBefore: number,
  deviation: number,
): void {
  const gain = Math.max(SHIFT_GAIN, SHIFT_GAIN_AT_FIRST / (1 + taken / shift.length));
  shift[slotBefore]! += gain * Math.max(-MOST_SHIFT, Math.min(MOST_SHIFT, deviation));
  let sum = 0;
  for (const each of shift) sum += Math.exp(each);
  const mean = Math.log(sum / shift.length);
  for (let s = 0; s < shift.length; s++) shift[s]! -= mean;
}
