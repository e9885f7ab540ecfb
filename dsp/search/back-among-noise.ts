/** Goes back from a beat found among noise to where it began: the beat is followed against the course of time, from its last
 * strike on; what the search took for its first strikes may be noise. Batch work. */
import type { Beat, BeatLimits } from '../beat/beat-limits';
import { followingAt, type Care } from '../beat/following';
import { LOST_AMONG_NOISE } from '../beat/giving-up';
import type { Decided } from '../beat/taken';
import { Tracker } from '../beat/tracker';
import { Candidates } from '../impulses/candidates';
import { middleOf } from '../quantile-of';

/** @param from oldest candidate to look at @param care with which the beat is followed */
export function backAmongNoise(
  all: Candidates,
  beat: Beat,
  from: number,
  limits: BeatLimits,
  care: Care,
): Beat {
  const { strikes, steps, spoken, lost } = followBack(all, beat, from, limits, care);
  const least = spoken.indexOf(Math.min(...spoken));
  const end = lost ? least + 1 : strikes.length; // what was taken from there on is noise
  const start = spoken.indexOf(Math.max(...spoken.slice(0, least + 1))); // and what the search took last
  if (end - start < beat.strikes.length / 2) return beat;
  return {
    ...beat,
    strikes: strikes.slice(start, end).reverse(),
    steps: [0, ...steps.slice(start + 1, end).reverse()],
  };
}

/** Strikes against the course of time, and the intervals since the one after each. */
interface Backwards {
  readonly strikes: number[];
  readonly steps: number[];
  /** What all strikes up to each spoke against the beat, less what they should have spoken for it at least. */
  readonly spoken: number[];
  /** Somewhere nothing fitted for long. */
  readonly lost: boolean;
}

/** Goes on where nothing fits for some strikes, as where a sweep begins: what comes before may speak for it all the more. */
function followBack(all: Candidates, beat: Beat, from: number, limits: BeatLimits, care: Care): Backwards {
  const last = beat.strikes.at(-1)!;
  const mirrored = mirror(all, from, last);
  const strikes: number[] = [];
  const steps: number[] = [];
  const spoken: number[] = [];
  const told = (decided: Readonly<Decided>): void => {
    strikes.push(last - decided.candidate);
    steps.push(decided.steps);
    spoken.push((spoken.at(-1) ?? 0) + (decided.steps === 0 ? 0 : decided.spent - LOST_AMONG_NOISE));
  };
  const tracker = new Tracker(mirrored, limits, told, care);
  const level = middleOf(beat.strikes.map((c) => all.peak[all.at(c)]!));
  const mirroredBeat: Beat = {
    ...beat,
    strikes: beat.strikes.map((c) => last - c).reverse(),
    steps: [0, ...beat.steps.slice(1).reverse()],
  };
  tracker.start(mirroredBeat, mirrored, level, followingAt(level / all.noise[all.at(last)]!));
  let lost = false;
  for (let c = 1; c < mirrored.end && tracker.following; c++) {
    const timeS = mirrored.timeS[mirrored.at(c)]!;
    tracker.take(c);
    tracker.decide(timeS);
    lost ||= tracker.isStrained;
    if (tracker.isSilent(timeS)) tracker.drop(timeS);
  }
  if (tracker.following) tracker.drop(Infinity);
  return { strikes, steps, spoken, lost };
}

function mirror(all: Candidates, from: number, last: number): Candidates {
  const mirrored = new Candidates('sharp', all.standsOver, true);
  for (let c = last; c >= from; c--) {
    const i = all.at(c);
    mirrored.add(-all.timeS[i]!, all.peak[i]!, all.sign[i]!, all.noise[i]!, all.place[i]!, all.timeVar[i]!);
  }
  return mirrored;
}
