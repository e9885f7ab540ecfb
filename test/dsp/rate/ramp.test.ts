import { expect, test } from 'vitest';
import { rampFrom, RampWatch } from '../../../dsp/rate/ramp';

// By hand: 10 Hz until 0.05 s before the first strike, then 40 Hz/s more: at that strike the beat is 40 × 0.05² / 2 =
// 0.05 intervals ahead of an even one, 0.06 s later 40 × 0.11² / 2 = 0.242; the rate is then 10 + 40 × 0.11 = 14.4 Hz.
// Places are whole at strikes: the first interval took (1 - 0.05) / 10 s = 0.095 s.
const FIRST_S = 0.095;
const SECOND_S = 0.06;

test('two strikes off their places tell when an even ramp began and how fast it goes', () => {
  const ramp = rampFrom(10, FIRST_S, SECOND_S, 0.05, 0.242)!;
  expect(ramp.rateHz).toBeCloseTo(14.4, 9);
  expect(ramp.changeHzPerS).toBeCloseTo(40, 9);
});

test('a rate that falls is told by the same sums', () => {
  // 10 Hz, from 0.05 s before the first strike 40 Hz/s less: 10 - 40 × 0.11 = 5.6 Hz
  expect(rampFrom(10, 0.105, SECOND_S, -0.05, -0.242)!.rateHz).toBeCloseTo(5.6, 9);
});

test('sound lost before one strike, or one late and one early, is no ramp', () => {
  expect(rampFrom(10, 0.07, 0.1, 0.3, 0.3)).toBeNull(); // 30 ms vanished, then the rate of before
  expect(rampFrom(10, 0.07, 0.07, 0.3, 0.6)).toBeNull(); // twice as much: it began before the first interval, or not at all
  expect(rampFrom(10, 0.095, SECOND_S, -0.05, 0.242)).toBeNull();
});

test('a ramp is told of only where the rate was even before, and is no steeper than an engine can', () => {
  const watch = (rateVar: number, longestS: number, placeVar = 1e-8): RampWatch => {
    const made = new RampWatch(longestS);
    made.note(10, rateVar, 0.1, placeVar);
    made.note(10, 4, FIRST_S, placeVar);
    return made;
  };
  const secondS = (1 - 0.242 + 0.05) / 10; // the strike that is 0.242 intervals ahead comes one interval after the first
  expect(watch(1e-8, 0.4).find(1, 1, secondS, 1e-12)!.rateHz).toBeGreaterThan(13);
  expect(watch(1, 0.4).find(1, 1, secondS, 1e-12)).toBeNull(); // known to 10 % only
  expect(watch(1e-8, 40).find(1, 1, secondS, 1e-12)).toBeNull();
  expect(watch(1e-8, 0.4, 1e-4).find(1, 1, secondS, 1e-12)).toBeNull(); // 0.05 early is five deviations where cycles differ
  expect(new RampWatch(0.4).find(1, 1, secondS, 1e-12)).toBeNull(); // nothing noted yet
});
