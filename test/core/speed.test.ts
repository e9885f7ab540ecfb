import { expect, test } from 'vitest';
import { chainOptionsFor, speedOf } from '../../core/speed';

// common practice: a four-stroke fires each plug every other turn, a wasted-spark coil every turn, a coil lead of N
// cylinders N/2 times a turn; hand arithmetic from 150 to 12 000 rpm.
test.each([
  {
    engine: { strokes: 4, cylinders: 8, pickup: 'plug' },
    lowestRateHz: 1.25,
    highestRateHz: 100,
    patternLength: 1,
  },
  {
    engine: { strokes: 2, cylinders: 1, pickup: 'plug' },
    lowestRateHz: 2.5,
    highestRateHz: 200,
    patternLength: 1,
  },
  {
    engine: { strokes: 4, cylinders: 4, pickup: 'wasted' },
    lowestRateHz: 2.5,
    highestRateHz: 200,
    patternLength: 2,
  },
  {
    engine: { strokes: 4, cylinders: 6, pickup: 'coil' },
    lowestRateHz: 7.5,
    highestRateHz: 600,
    patternLength: 6,
  },
] as const)('the chain is told the rates of $engine', ({ engine, ...expected }) => {
  expect(chainOptionsFor(engine, 48_000)).toMatchObject({
    sampleRateHz: 48_000,
    pulses: 'sharp',
    ...expected,
  });
});

test('a sensor gives slow pulses, one a turn, whatever the engine', () => {
  const options = chainOptionsFor({ strokes: 4, cylinders: 8, pickup: 'sensor' }, 8000);
  expect(options).toMatchObject({ lowestRateHz: 2.5, highestRateHz: 200, pulses: 'slow' });
});

test('a strike may be repeated over 20 crank degrees: on a four-stroke plug lead 1/36 of the interval', () => {
  // 20 of 720 degrees
  expect(chainOptionsFor({ strokes: 4, cylinders: 8, pickup: 'plug' }, 48_000).repeatShare).toBeCloseTo(
    1 / 36,
    12,
  );
});

test('speed and its deviation scale alike: 25 Hz with half a turn a strike is 3000 rpm', () => {
  expect(speedOf({ rateHz: 25, rateSdHz: 0.1 }, 0.5)).toEqual({ rpm: 3000, rpmSd: 12 });
});

test('a strike without a rate has no speed', () => {
  expect(speedOf({ rateHz: null, rateSdHz: null }, 0.5)).toBeNull();
});

test('an engine of no cylinders is refused', () => {
  expect(() => chainOptionsFor({ strokes: 4, cylinders: 0, pickup: 'coil' }, 48_000)).toThrow(RangeError);
});
