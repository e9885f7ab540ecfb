import { expect, test } from 'vitest';
import { EdgeFollower } from '../../../dsp/edge-follower';
import { meet } from '../../../dsp/rate/meet';
import { strikeTrain, TRAIN_RATES } from '../../helpers/strike-trains';

interface Told {
  /** How many edges had been pushed when each was told, and the time of the last of them. */
  readonly afterS: number[];
  readonly smoothedS: number[];
  readonly causalS: number[];
}

function follow(lagS: number): Told {
  const { timesS, timeSdS } = strikeTrain('blip', 3);
  const told: Told = { afterS: [], smoothedS: [], causalS: [] };
  let nowS = 0;
  const follower = new EdgeFollower(
    TRAIN_RATES,
    ({ timeS, rateHz }) => rateHz !== null && told.causalS.push(timeS),
    {
      lagS,
      onSmoothed: ({ timeS }) => {
        told.smoothedS.push(timeS);
        told.afterS.push(nowS - timeS);
      },
    },
  );
  for (const timeS of timesS) {
    nowS = timeS;
    follower.follow(timeS);
    follower.push(timeS, timeSdS);
  }
  follower.finish(timesS[timesS.length - 1]! + 1);
  return told;
}

test('each strike that has a causal rate has a smoothed one, once and in order', () => {
  for (const lagS of [0.5, Infinity]) {
    const { smoothedS, causalS } = follow(lagS);
    expect(smoothedS).toEqual(causalS);
  }
});

test('no strike waits much longer than it may', () => {
  const { afterS, smoothedS } = follow(0.5);
  const once = smoothedS.findIndex((timeS) => timeS > 2); // the search for the beat takes its time at first
  // half a second, then the interval that ends it, and the two more for which a strike in doubt is not yet decided
  expect(Math.max(...afterS.slice(once))).toBeLessThan(0.5 + 4 * 0.134);
});

test('two equally good estimates of the rate alone meet halfway with half the variance', () => {
  // weights by inverse variance: 10 and 12, each 4: 11, and 1 / (1/4 + 1/4) = 2; the 2 apart are 4 / 8 of a deviation squared
  const past = Float64Array.of(0, 10, 0, 1, 0, 0, 4, 0, 1);
  const future = Float64Array.of(0, 12, 0, 1, 0, 0, 4, 0, 1);
  const met = meet(past, future, 1e-8, 0);
  expect(met.rateHz).toBeCloseTo(11, 9);
  expect(met.rateVar).toBeCloseTo(2, 9);
});

test('what place and rate have in common counts', () => {
  // past: place and rate with covariance 0.5; the future knows the place alone, exactly, 1 further on: the rate moves by
  // 0.5 / 1 and its variance falls by 0.25 / 1
  const past = Float64Array.of(0, 10, 0, 1, 0.5, 0, 1, 0, 1);
  const future = Float64Array.of(1, 10, 0, 0, 0, 0, 1e9, 0, 1e9);
  const met = meet(past, future, 1e-8, 0);
  expect(met.rateHz).toBeCloseTo(10.5, 6);
  expect(met.rateVar).toBeCloseTo(0.75, 6);
});

test('where both are far apart the engine changed: the one that foretells the strike better is taken', () => {
  const past = Float64Array.of(0, 10, 0, 1e-4, 0, 0, 0.1, 0, 1e-4);
  const future = Float64Array.of(0, 20, 0, 1e-8, 0, 0, 0.01, 0, 1e-4);
  expect(meet(past, future, 1e-8, 0.05).rateHz).toBe(20);
  expect(meet(past, future, 1e-8, 0).rateHz).toBe(10); // the past foretold it better
  const misses = Float64Array.of(0.1, 20, 0, 1e-8, 0, 0, 0.01, 0, 1e-4);
  expect(meet(past, misses, 1e-8, 0.2).rateHz).toBe(10);
  const unplaced = Float64Array.of(0, 20, 0, 1, 0, 0, 0.01, 0, 1e-4); // sound was lost: its place says nothing
  expect(meet(past, unplaced, 1e-8, 0.05).rateHz).toBe(10);
});
