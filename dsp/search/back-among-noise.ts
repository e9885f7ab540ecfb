/** Goes back from a beat found among noise to where it began: the beat is followed against the course of time, from its last
 * strike on, as it is followed later; what the search took for its first strikes may be noise. Batch work. */
import type { Beat, BeatLimits } from '../beat/beat-limits';
import { followingAt } from '../beat/following';
import { Tracker } from '../beat/tracker';
import { Candidates } from '../impulses/candidates';

/** So many strikes were taken at the most before a beat that is none is given up. */
const UNSURE_STRIKES = 10;

/** @param from oldest candidate to look at */
export function backAmongNoise(all: Candidates, beat: Beat, from: number, limits: BeatLimits): Beat {
  const last = beat.strikes.at(-1)!;
  const mirrored = new Candidates('sharp', all.standsOver);
  for (let c = last; c >= from; c--) {
    const i = all.at(c);
    mirrored.add(-all.timeS[i]!, all.peak[i]!, all.sign[i]!, all.noise[i]!, all.place[i]!, all.timeVar[i]!);
  }
  const strikes: number[] = [];
  const steps: number[] = [];
  const tracker = new Tracker(mirrored, limits, (decided) => {
    strikes.push(last - decided.candidate);
    steps.push(decided.steps);
  });
  const heights = beat.strikes.map((c) => all.peak[all.at(c)]!).sort((a, b) => a - b);
  const level = heights[heights.length >> 1]!;
  const mirroredBeat: Beat = {
    ...beat,
    strikes: beat.strikes.map((c) => last - c).reverse(),
    steps: [0, ...beat.steps.slice(1).reverse()],
  };
  tracker.start(mirroredBeat, mirrored, level, followingAt(level / all.noise[all.at(last)]!));
  let lost = false;
  for (let c = 1; c < mirrored.end && !lost; c++) {
    const timeS = mirrored.timeS[mirrored.at(c)]!;
    tracker.take(c);
    tracker.decide(timeS);
    lost = tracker.giveUp(timeS);
  }
  if (!lost) tracker.drop(Infinity);
  else {
    strikes.length = Math.max(1, strikes.length - UNSURE_STRIKES);
    steps.length = strikes.length;
  }
  if (strikes.length < beat.strikes.length / 2) return beat;
  return { ...beat, strikes: strikes.reverse(), steps: [0, ...steps.slice(1).reverse()] };
}
