import { expect, test } from 'vitest';
import { EdgeFollower } from '../../../dsp/edge-follower';
import { meet, type Between } from '../../../dsp/rate/meet';
import { RateFilter } from '../../../dsp/rate/rate';
import { MOMENTS, STATES } from '../../../dsp/rate/rate-moments';
import { RateSmoother } from '../../../dsp/rate/rate-smoother';
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

test.each([
  ['halfway', 0.05, Infinity],
  ['halfway, told at once', 0.05, 0.05],
  ['elsewhere', 0.023, Infinity],
  ['elsewhere, told at once', 0.023, 0.05],
])('a strike that is none, %s, is told with the speed of those beside it', (_where, afterS, lagS) => {
  const filter = new RateFilter(0.6);
  const rates: number[] = [];
  const smoother = new RateSmoother(0.6, filter, lagS, ({ rateHz, rateSdHz }) => {
    if (rateSdHz < 0.1 * rateHz) rates.push(rateHz);
  });
  filter.reset(0.1);
  smoother.reset(0.1);
  const timesS = Array.from({ length: 60 }, (_, i) => 0.1 * i + 1e-6 * (i % 3));
  for (const timeS of [...timesS, 1.5 + afterS, 5 + afterS].sort((a, b) => a - b)) {
    filter.take(timeS, 1e-12);
    smoother.take(timeS, timeS, 1e-12);
  }
  smoother.flush();
  expect(rates.length).toBeGreaterThan(55);
  for (const rateHz of rates) expect(Math.abs(rateHz / 10 - 1)).toBeLessThan(0.01);
});

test('a strike that was none in one beat is one in the next', () => {
  for (const places of [31, 32, 33]) {
    const filter = new RateFilter(0.6, true);
    const smoothed: { timeS: number; share: number }[] = [];
    const smoother = new RateSmoother(0.6, filter, Infinity, ({ timeS, rateHz, rateSdHz }) =>
      smoothed.push({ timeS, share: rateSdHz / rateHz }),
    );
    const follow = (fromS: number, intervalS: number, strayAfter: number): void => {
      filter.reset(intervalS);
      smoother.reset(intervalS);
      for (let i = 0; i < 40; i++)
        for (const timeS of i === strayAfter ? [i, i + 0.5] : [i]) {
          filter.take(fromS + timeS * intervalS, 1e-12);
          smoother.take(fromS + timeS * intervalS, fromS + timeS * intervalS, 1e-12);
        }
      smoother.flush();
    };
    follow(0, 0.1, places - 1); // the stray is the strike of that number
    const before = smoothed.length;
    follow(4.1, 0.05, Infinity);
    expect(smoothed.length - before).toBe(39); // all but the first
    expect(smoothed[before]!.timeS).toBeCloseTo(4.15, 6);
    // what the engine did between two beats is no change of its speed
    expect(smoothed[before + 12]!.share).toBeLessThan(1e-3);
  }
});

test('no strike waits much longer than it may', () => {
  const { afterS, smoothedS } = follow(0.5);
  const once = smoothedS.findIndex((timeS) => timeS > 2); // the search for the beat takes its time at first
  // half a second, then the interval that ends it, and the two more for which a strike in doubt is not yet decided
  expect(Math.max(...afterS.slice(once))).toBeLessThan(0.5 + 4 * 0.134);
});

/** Place, rate and change with the upper triangle of their covariance, of an engine whose cycles are all alike. */
function alike(
  means: readonly [number, number, number],
  [pp, pr, pc, rr, rc, cc]: readonly number[],
): Float64Array {
  const told = new Float64Array(MOMENTS);
  told.set(means);
  told.set([pp!, pr!, pc!], STATES);
  told.set([rr!, rc!], 2 * STATES);
  told[3 * STATES - 1] = cc!;
  return told;
}

/** A strike that came where both foretold it. */
const BETWEEN: Between = {
  pastOff: 0,
  pastOffVar: 1e-8,
  futureOff: 0,
  futureOffVar: 1e-8,
  futureHz: 20,
  futureVar: 0.01,
  beforeHz: 0,
  afterHz: 0,
};

test('two equally good estimates of the rate alone meet halfway with half the variance', () => {
  // weights by inverse variance: 10 and 12, each 4: 11, and 1 / (1/4 + 1/4) = 2; the 2 apart are 4 / 8 of a deviation squared
  const past = alike([0, 10, 0], [1, 0, 0, 4, 0, 1]);
  const future = alike([0, 12, 0], [1, 0, 0, 4, 0, 1]);
  const met = meet(past, future, BETWEEN);
  expect(met.rateHz).toBeCloseTo(11, 9);
  expect(met.rateVar).toBeCloseTo(2, 9);
});

test('what place and rate have in common counts', () => {
  // past: place and rate with covariance 0.5; the future knows the place alone, exactly, 1 further on: the rate moves by
  // 0.5 / 1 and its variance falls by 0.25 / 1
  const past = alike([0, 10, 0], [1, 0.5, 0, 1, 0, 1]);
  const future = alike([1, 10, 0], [0, 0, 0, 1e9, 0, 1e9]);
  const met = meet(past, future, BETWEEN);
  expect(met.rateHz).toBeCloseTo(10.5, 6);
  expect(met.rateVar).toBeCloseTo(0.75, 6);
});

test('estimates that differ by no more than chance would are as good as they say', () => {
  // apart by 2.5 of the root of 4 + 4: 6.25 / 8 squared deviations and 4 more by the place, 4.8, of which 7.8 are usual
  const past = alike([0, 10, 0], [1, 0, 0, 4, 0, 1]);
  const future = alike([Math.sqrt(8), 12.5, 0], [1, 0, 0, 4, 0, 1]);
  expect(meet(past, future, BETWEEN).rateVar).toBeCloseTo(2, 9);
});

test("the cycle's own speeds count by half each, and what neither tells stays open", () => {
  const past = alike([0, 10, 0], [1, 0, 0, 4, 0, 1]);
  past[3] = 0.6;
  past[4] = 0.2;
  past[MOMENTS - 1] = 0.5;
  const met = meet(past, null, BETWEEN);
  expect(met.rateHz).toBeCloseTo(10.4, 9); // 10 + (0.6 + 0.2) / 2
  expect(met.rateVar).toBeCloseTo(4.5, 9);
});

/** Areas that an interval takes of its cycle's three speeds, where strikes come at this share of the cycle; and the speed at
 * the strike between two intervals, by the speeds as the cycle begins and ends. */
const areas = (at: number): readonly number[] => [
  (1 - at) ** 2 / 2,
  (1 - at ** 2) / 2 + at - at ** 2 / 2,
  at ** 2 / 2,
];
const REACH = 24;
const ROOT = 3 - 2 * Math.SQRT2; // of z² − 6 z + 1: what undoes the areas halfway, (−z)^|k| √2, worked out by hand
const undone = (k: number): number => Math.SQRT2 * (-ROOT) ** Math.abs(k);

/** At a place in the cycle: variance of the speed at a strike about what all intervals tell by the areas halfway, and of the
 * cycles by which those would be likeliest, both for cycles whose speeds have unit variance. */
function openAt(at: number): { variance: number; likeliestVar: number } {
  const seen = areas(at);
  let [variance, likeliestVar] = [0, 0];
  for (let j = -REACH; j <= REACH; j++) {
    // speeds 0 and 1 are those of the strike's own cycle; interval k takes of speeds k to k + 2, undone about k + 1
    let [told, whitened] = [0, 0];
    for (let i = 0; i < 3; i++) {
      const middle = j - i + 1;
      told += 0.5 * (undone(middle) + undone(middle - 1)) * seen[i]!;
      whitened += undone(middle) * seen[i]!;
    }
    const own = j === 0 ? 1 - at : j === 1 ? at : 0;
    variance += (own - told) ** 2;
    likeliestVar += whitened ** 2;
  }
  return { variance, likeliestVar };
}

test("what stays open of a cycle's speed between intervals known on both sides is what the areas leave", () => {
  const places = Array.from({ length: 200 }, (_, i) => openAt((i + 0.5) / 200));
  const sum = (of: (place: (typeof places)[0]) => number): number =>
    places.reduce((total, place) => total + of(place), 0);
  const moving = sum((place) => place.variance) / sum((place) => place.likeliestVar);
  const keeping = sum((place) => place.variance / place.likeliestVar) / places.length;
  const past = alike([0, 10, 0], [1, 0, 0, 1e-9, 0, 1]);
  const future = alike([0, 10, 0], [1, 0, 0, 1e-9, 0, 1]);
  past[MOMENTS - 1] = future[MOMENTS - 1] = 0.14; // by one side alone, of a cycle's variance
  const { rateVar } = meet(past, future, BETWEEN);
  expect(moving).toBeCloseTo(0.1075, 3);
  expect(rateVar).toBeGreaterThan(moving);
  expect(rateVar / keeping).toBeCloseTo(1, 2);
});

test("where the engine's cycles differ, five numbers are further apart by chance than three", () => {
  // 4.2 of the root of 1 + 1: 17.6, which three numbers are once in two thousand times and five once in three hundred
  const past = alike([0, 10, 0], [1, 0, 0, 1, 0, 1]);
  const future = alike([0, 10 + 4.2 * Math.SQRT2, 0], [1, 0, 0, 1, 0, 1]);
  const halfway = 10 + 2.1 * Math.SQRT2;
  const seen = { ...BETWEEN, futureHz: future[1]! };
  expect(meet(past, future, seen).rateHz).toBe(10);
  past[MOMENTS - 1] = future[MOMENTS - 1] = 0.01;
  expect(meet(past, future, seen).rateHz).toBeCloseTo(halfway, 9);
});

test('where both are far apart the engine changed: the one that foretold the strike better is taken', () => {
  const past = alike([0, 10, 0], [1e-4, 0, 0, 0.1, 0, 1e-4]);
  const future = alike([0, 20, 0], [1e-8, 0, 0, 0.01, 0, 1e-4]);
  const met = (pastOff: number, futureOff: number, futureOffVar = 1e-8): number =>
    meet(past, future, { ...BETWEEN, pastOff, futureOff, futureOffVar }).rateHz;
  expect(met(0.05, 0)).toBe(20);
  expect(met(0, 1e-4)).toBe(10); // the past foretold it better
  expect(met(0.2, 0.1)).toBe(10); // neither did
  expect(met(0.05, 0, 1)).toBe(20); // off by chance, where it was hardly foretold
  expect(met(0, 0, 1)).toBe(10); // sound was lost: its place says nothing
});

test('where both are far apart, the deviation covers the other by how likely it is, and the intervals by where between', () => {
  const past = alike([0, 10, 0], [1e-4, 0, 0, 0.1, 0, 1e-4]);
  const future = alike([0, 20, 0], [1e-8, 0, 0, 0.01, 0, 1e-4]);
  // both foretold it as well: as likely one as the other, 10 apart, half the time: 50 and its own
  const doubtful = { ...BETWEEN, futureHz: 20, futureVar: 0.01, futureOffVar: 1e-8, pastOffVar: 1e-8 };
  expect(meet(past, future, doubtful).rateVar).toBeCloseTo(50 + 0.1, 3);
  // neither did: halfway between the rates of the intervals, 12 and 18, anywhere between: a uniform share's 36 / 12, and what
  // is left of either side's chance
  const neither = { ...BETWEEN, pastOff: 0.3, futureOff: 0.2, beforeHz: 12, afterHz: 18 };
  const met = meet(past, future, neither);
  expect(met.rateHz).toBe(15);
  expect(met.rateVar).toBeGreaterThan(3);
  expect(met.rateVar).toBeLessThan(3 + 0.02 * 25);
});
