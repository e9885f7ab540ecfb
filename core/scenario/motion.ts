/** How a crankshaft turns: speed against time in, stretches of even acceleration out, each exact to rounding. Knows
 * revolutions and seconds; nothing of sparks or sound. */
import type { Random } from '../../dsp/maker/random';

/** A stretch of even acceleration. Turns count from the start, 0 at a top dead centre of cylinder No. 1. */
export interface Stretch {
  readonly timeS: number;
  readonly turns: number;
  readonly rpm: number;
  readonly rpmPerS: number;
  readonly durationS: number;
}

export const turnsIn = (s: Stretch, timeS: number): number => {
  const dt = timeS - s.timeS;
  return s.turns + (s.rpm * dt + (s.rpmPerS * dt * dt) / 2) / 60;
};
export const rpmIn = (s: Stretch, timeS: number): number => s.rpm + s.rpmPerS * (timeS - s.timeS);
export const endTimeS = (s: Stretch): number => s.timeS + s.durationS;
export const endTurns = (s: Stretch): number => turnsIn(s, endTimeS(s));

/** When a stretch reaches a count of turns: the root of a quadratic in the form that loses no digits. */
export function timeOfTurns(s: Stretch, turns: number): number {
  const sixty = 60 * (turns - s.turns);
  return s.timeS + (2 * sixty) / (s.rpm + Math.sqrt(s.rpm * s.rpm + 2 * s.rpmPerS * sixty));
}

/** The stretch that follows another, with a speed to reach at its end. */
export function nextStretch(before: Stretch, durationS: number, endRpm: number): Stretch {
  const rpm = rpmIn(before, endTimeS(before));
  return {
    timeS: endTimeS(before),
    turns: endTurns(before),
    rpm,
    rpmPerS: (endRpm - rpm) / durationS,
    durationS,
  };
}

/** Speed against time: straight lines between corners, the last speed kept; and what each cycle adds to it. */
export interface SpeedProfile {
  /** At least one, times rising from 0. */
  readonly corners: readonly { readonly timeS: number; readonly rpm: number }[];
  /** Each cycle's speed differs by up to this share of it, either way. */
  readonly wanderShare: number;
}

/** The profile's speed, wander left out. */
export function profileRpm(profile: SpeedProfile, timeS: number): number {
  const { corners } = profile;
  const after = corners.findIndex((corner) => corner.timeS > timeS);
  if (after === -1) return corners[corners.length - 1]!.rpm;
  if (after === 0) return corners[0]!.rpm;
  const [a, b] = [corners[after - 1]!, corners[after]!];
  return a.rpm + ((b.rpm - a.rpm) * (timeS - a.timeS)) / (b.timeS - a.timeS);
}

/** Without wander, stretches still end after so long: what reads them keeps no more than one. */
const LONGEST_STRETCH_S = 1;

/** Turns a profile into stretches, without end. With wander a stretch ends with each cycle.
 * @param cycleTurns turns a cycle, 2 for a four-stroke @param random draws the wander: the same draws, the same motion
 * @throws RangeError if the profile has no corner, a speed that is not above 0, or times that do not rise */
export function* profileMotion(
  profile: SpeedProfile,
  cycleTurns: number,
  random: Random,
): Generator<Stretch> {
  checkProfile(profile);
  const { corners, wanderShare } = profile;
  const start = corners[0]!.rpm;
  let last: Stretch = { timeS: 0, turns: 0, rpm: start, rpmPerS: 0, durationS: 0 };
  for (;;) {
    const fromS = endTimeS(last);
    const cornerS = corners.find((corner) => corner.timeS > fromS + 1e-9)?.timeS ?? Infinity;
    const cycleS = wanderShare > 0 ? (60 * cycleTurns) / rpmIn(last, fromS) : LONGEST_STRETCH_S;
    const durationS = Math.min(cycleS, cornerS - fromS);
    const factor = wanderShare > 0 ? 1 + wanderShare * random.between(-1, 1) : 1;
    last = nextStretch(last, durationS, profileRpm(profile, fromS + durationS) * factor);
    yield last;
  }
}

/** @throws RangeError if a profile has no corner at 0 s, a speed that is not above 0, or times that do not rise */
export function checkProfile({ corners, wanderShare }: SpeedProfile): void {
  if (corners[0]?.timeS !== 0) throw new RangeError('a speed profile must have a corner at 0 s');
  corners.forEach(({ timeS, rpm }, i) => {
    if (!(rpm > 0)) throw new RangeError(`a profile's speed must be above 0 rpm, got ${rpm}`);
    if (i > 0 && !(timeS > corners[i - 1]!.timeS))
      throw new RangeError(`a profile's times must rise, got ${timeS} s after ${corners[i - 1]!.timeS} s`);
  });
  if (!(wanderShare >= 0 && wanderShare <= 0.3))
    throw new RangeError(`wander must be a share from 0 to 0.3, got ${wanderShare}`);
}

/** Reads turns off a motion at rising times, for what follows the engine's speed without its sparks. */
export function turnsReader(motion: Iterator<Stretch>): (timeS: number) => number {
  let now: Stretch = motion.next().value as Stretch;
  return (timeS) => {
    while (timeS > endTimeS(now)) now = motion.next().value as Stretch;
    return turnsIn(now, timeS);
  };
}
