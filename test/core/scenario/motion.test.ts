import { expect, test } from 'vitest';
import {
  endTimeS,
  endTurns,
  profileMotion,
  profileRpm,
  rpmIn,
  timeOfTurns,
  turnsIn,
  turnsReader,
  type SpeedProfile,
  type Stretch,
} from '../../../core/scenario/motion';
import { createRandom } from '../../../dsp/maker/random';

const SWEEP: SpeedProfile = {
  corners: [
    { timeS: 0, rpm: 900 },
    { timeS: 2, rpm: 900 },
    { timeS: 12, rpm: 4500 },
    { timeS: 13, rpm: 1000 },
  ],
  wanderShare: 0,
};

function stretches(profile: SpeedProfile, untilS: number): Stretch[] {
  const all: Stretch[] = [];
  for (const stretch of profileMotion(profile, 2, createRandom(1))) {
    all.push(stretch);
    if (endTimeS(stretch) >= untilS) return all;
  }
  return all;
}

// By hand, areas under the speed: 2 s of 15/s, then (15 + 75) / 2 × 10 s, then (75 + 16.667) / 2 × 1 s.
test('turns are the area under the speed', () => {
  const turns = turnsReader(profileMotion(SWEEP, 2, createRandom(1)));
  expect(turns(2)).toBeCloseTo(30, 9);
  expect(turns(12)).toBeCloseTo(480, 9);
  expect(turns(13)).toBeCloseTo(480 + 45 + 5 / 6, 9);
  expect(turns(16)).toBeCloseTo(480 + 45 + 5 / 6 + 50, 9); // the last speed is kept
});

test('stretches join: no gap and no jump in time, turns or speed', () => {
  const all = stretches({ ...SWEEP, wanderShare: 0.08 }, 20);
  for (let i = 1; i < all.length; i++) {
    expect(all[i]!.timeS).toBe(endTimeS(all[i - 1]!));
    expect(all[i]!.turns).toBe(endTurns(all[i - 1]!));
    expect(all[i]!.rpm).toBeCloseTo(rpmIn(all[i - 1]!, endTimeS(all[i - 1]!)), 9);
  }
});

test('without wander the speed is the profile’s at every moment', () => {
  for (const stretch of stretches(SWEEP, 20))
    for (const share of [0, 0.3, 0.9]) {
      const timeS = stretch.timeS + share * stretch.durationS;
      expect(rpmIn(stretch, timeS)).toBeCloseTo(profileRpm(SWEEP, timeS), 6);
    }
});

test('the instant of a count of turns is the inverse of the turns at an instant', () => {
  for (const stretch of stretches({ ...SWEEP, wanderShare: 0.05 }, 14))
    for (const share of [0.001, 0.4, 0.999]) {
      const timeS = stretch.timeS + share * stretch.durationS;
      expect(timeOfTurns(stretch, turnsIn(stretch, timeS))).toBeCloseTo(timeS, 10);
    }
});

test('each cycle wanders by no more than its share, and uses all of it', () => {
  const idle = { corners: [{ timeS: 0, rpm: 800 }], wanderShare: 0.08 };
  const ends = stretches(idle, 200).map((stretch) => rpmIn(stretch, endTimeS(stretch)) / 800 - 1);
  expect(Math.max(...ends)).toBeLessThanOrEqual(0.08);
  expect(Math.min(...ends)).toBeGreaterThanOrEqual(-0.08);
  expect(Math.max(...ends)).toBeGreaterThan(0.075);
  expect(Math.min(...ends)).toBeLessThan(-0.075);
  const cycle = stretches(idle, 10)[5]!;
  expect(endTurns(cycle) - cycle.turns).toBeGreaterThan(1.8); // two turns a cycle, to the wander itself
  expect(endTurns(cycle) - cycle.turns).toBeLessThan(2.2);
});

test('a profile that is none is refused', () => {
  const bad =
    (profile: SpeedProfile): (() => unknown) =>
    () =>
      profileMotion(profile, 2, createRandom(1)).next();
  expect(bad({ corners: [], wanderShare: 0 })).toThrow(/corner at 0/);
  expect(bad({ corners: [{ timeS: 0, rpm: 0 }], wanderShare: 0 })).toThrow(/above 0/);
  expect(
    bad({
      corners: [
        { timeS: 0, rpm: 1 },
        { timeS: 0, rpm: 2 },
      ],
      wanderShare: 0,
    }),
  ).toThrow(/rise/);
  expect(bad({ corners: [{ timeS: 0, rpm: 1 }], wanderShare: 0.9 })).toThrow(/wander/);
});
