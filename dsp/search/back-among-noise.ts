/** Goes back from a beat found among noise to where it began: the beat is followed against the course of time, from its last
 * strike on, as it is followed later; what the search took for its first strikes may be noise. Batch work. */
import type { Beat, BeatLimits } from '../beat/beat-limits';
import { followingAt, type Care } from '../beat/following';
import type { Decided } from '../beat/taken';
import { LOST_AMONG_NOISE } from '../beat/giving-up';
import { Tracker } from '../beat/tracker';
import { Candidates } from '../impulses/candidates';

/** So many strikes are taken at the most before a beat that is none is given up. */
const UNSURE_STRIKES = 10;
/** Where the way back is lost, as where a sweep began, it is tried anew from ever less of the strikes before. */
const TRIED_AGAIN = 0.75;

/** @param from oldest candidate to look at */
export function backAmongNoise(
  all: Candidates,
  beat: Beat,
  from: number,
  limits: BeatLimits,
  care: Care,
): Beat {
  const { beat: later, lost } = wayBack(all, beat, from, limits, care);
  const earlier =
    lost && later.strikes.length >= UNSURE_STRIKES ? earlierPart(all, beat, later, from, limits, care) : null;

  if (earlier) return joined(all, earlier, later);
  return later.strikes.length < beat.strikes.length / 2 ? beat : later;
}

/** What lies before the place where the way back was lost, as far as it is sure by itself. */
function earlierPart(
  all: Candidates,
  beat: Beat,
  later: Beat,
  from: number,
  limits: BeatLimits,
  care: Care,
): Beat | null {
  const older = beat.strikes.filter((c) => c < later.strikes[0]!).length;
  for (let count = older; count > UNSURE_STRIKES; count = Math.floor(TRIED_AGAIN * count)) {
    const way = wayBack(all, oldest(beat, count), from, limits, care);
    if (!way.lost && way.beat.strikes.length > UNSURE_STRIKES) return way.beat;
  }
  return null;
}

const oldest = (beat: Beat, count: number): Beat => ({
  ...beat,
  strikes: beat.strikes.slice(0, count),
  steps: beat.steps.slice(0, count),
});

/** Two parts of one beat; what lies between them is looked for anew, from the earlier part's end on. */
function joined(all: Candidates, earlier: Beat, later: Beat): Beat {
  const timeS = (c: number): number => all.timeS[all.at(c)]!;
  const betweenS = timeS(later.strikes[0]!) - timeS(earlier.strikes.at(-1)!);
  const between = Math.max(1, Math.round(betweenS / later.periodS));
  const steps = [...earlier.steps, between, ...later.steps.slice(1)];
  const untilS = timeS(earlier.strikes.at(-1)!) + earlier.periodS / 2;
  return { ...later, strikes: [...earlier.strikes, ...later.strikes], steps, untilS };
}

interface Way {
  readonly beat: Beat;
  /** Somewhere on it nothing fitted for long. */
  readonly lost: boolean;
}

/** Strikes against the course of time, and the intervals since the one after each. */
interface Backwards {
  readonly strikes: number[];
  readonly steps: number[];
  /** What all strikes up to each spoke against the beat, less what they should have spoken for it at least. */
  readonly spoken: number[];
  readonly lost: boolean;
}

function wayBack(all: Candidates, beat: Beat, from: number, limits: BeatLimits, care: Care): Way {
  const { strikes, steps, spoken, lost } = followBack(all, beat, from, limits, care);
  const least = spoken.indexOf(Math.min(...spoken));
  const end = lost ? least + 1 : strikes.length; // what was taken from there on is noise
  const start = spoken.indexOf(Math.max(...spoken.slice(0, least + 1))); // and what the search took last
  return {
    lost,
    beat: {
      ...beat,
      strikes: strikes.slice(start, end).reverse(),
      steps: [0, ...steps.slice(start + 1, end).reverse()],
    },
  };
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
  const heights = beat.strikes.map((c) => all.peak[all.at(c)]!).sort((a, b) => a - b);
  const level = heights[heights.length >> 1]!;
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
