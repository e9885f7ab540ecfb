/** The beat of a lead that fires unevenly, as a coil lead of an odd-fire engine does: the same intervals come round after
 * so many strikes. Events in, the beat with its pattern out, or null where none shows. Batch work. */
import { KICK_S, KICK_SHARE } from './beat-costs';
import type { Beat, BeatLimits } from './beat-limits';
import type { Events } from './events';

/** Rounds of the pattern looked at, at the least and at the most. */
const LEAST_ROUNDS = 3;
const MOST_ROUNDS = 6;
/** From round to round each stretch may change by so much, natural logarithm; on the mean by less. */
const MOST_CHANGE = 0.2;
const MEAN_CHANGE = 0.05;
/** Intervals that differ from the mean by less are even. */
const LEAST_UNEVEN = 0.07;
/** One lead's strikes are of one height: a lower place in the pattern is that of a kick. */
const LEAST_HEIGHT = 0.87;

export function unevenBeat(events: Events, limits: BeatLimits): Beat | null {
  const all = events.timeS.map((_, x) => x);
  return patternOf(events, withoutKicks(events), limits) ?? patternOf(events, [...all], limits);
}

function withoutKicks({ timeS, peak }: Events): number[] {
  const kept: number[] = [];
  for (let x = 0; x < timeS.length; x++) {
    const last = kept[kept.length - 1];
    const kicks =
      last !== undefined && timeS[x]! - timeS[last]! < KICK_S && peak[x]! < KICK_SHARE * peak[last]!;
    if (!kicks) kept.push(x);
  }
  return kept;
}

function patternOf(events: Events, places: readonly number[], limits: BeatLimits): Beat | null {
  const round = limits.patternLength;
  if (places.length < LEAST_ROUNDS * round + 1) return null;
  const used = places.slice(-(MOST_ROUNDS * round + 1));
  const timeS = used.map((x) => events.timeS[x]!);
  const periodS = (timeS[timeS.length - 1]! - timeS[0]!) / (used.length - 1);
  if (periodS < limits.shortestS || periodS > limits.longestS) return null;
  if (!comesRound(timeS, round) || !ofOneHeight(events, used, round)) return null;
  const pattern = meanPattern(timeS, round);
  if (pattern.every((shift) => Math.abs(shift) < LEAST_UNEVEN)) return null;
  return {
    strikes: used.map((x) => events.candidate[x]!),
    steps: used.map((_, k) => (k === 0 ? 0 : 1)),
    sign: 1,
    periodS,
    lead: 1,
    pattern,
  };
}

/** Logarithm of each interval by the mean one of the round about it. */
function shiftsOf(timeS: readonly number[], round: number): number[] {
  const last = timeS.length - 1;
  return timeS.slice(1).map((t, k) => {
    const from = Math.max(0, Math.min(last - round, k - (round >> 1)));
    return Math.log(((t - timeS[k]!) * round) / (timeS[from + round]! - timeS[from]!));
  });
}

function comesRound(timeS: readonly number[], round: number): boolean {
  const shifts = shiftsOf(timeS, round);
  const changes = shifts.slice(round).map((shift, k) => Math.abs(shift - shifts[k]!));
  const mean = changes.reduce((sum, change) => sum + change, 0) / changes.length;
  return mean < MEAN_CHANGE && changes.every((change) => change < MOST_CHANGE);
}

function ofOneHeight(events: Events, used: readonly number[], round: number): boolean {
  const sums = new Float64Array(round);
  const counts = new Float64Array(round);
  used.forEach((x, k) => {
    sums[k % round]! += events.peak[x]!;
    counts[k % round]!++;
  });
  const means = sums.map((sum, slot) => sum / counts[slot]!);
  return Math.min(...means) > LEAST_HEIGHT * Math.max(...means);
}

function meanPattern(timeS: readonly number[], round: number): number[] {
  const sums = new Array<number>(round).fill(0);
  const counts = new Array<number>(round).fill(0);
  shiftsOf(timeS, round).forEach((shift, k) => {
    sums[k % round]! += shift;
    counts[k % round]!++;
  });
  const pattern = sums.map((sum, slot) => sum / counts[slot]!);
  const mean = Math.log(pattern.reduce((sum, shift) => sum + Math.exp(shift), 0) / round);
  return pattern.map((shift) => shift - mean);
}
