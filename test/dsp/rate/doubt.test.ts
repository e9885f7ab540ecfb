/** What two strikes leave open: said with a deviation that covers it, and right once a third tells. Times by hand. */
import { expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';
import { RateDoubt } from '../../../dsp/rate/doubt';
import { held, LONGEST_S, saidRates, type Said } from '../../helpers/said-rates';

/** Of a beat that was followed for some strikes. */
function followed(): RateDoubt {
  const doubt = new RateDoubt(LONGEST_S);
  for (let i = 0; i < 6; i++) doubt.note(10, 0, 1e-3, 1, 0.1, false);
  return doubt;
}

const said = (intervalsS: readonly number[], seed: number): Said[] => saidRates(intervalsS, seed, 17);
const deviations = ({ rateHz, sdHz }: Said, trueHz: number): number => Math.abs(rateHz - trueHz) / sdHz;
/** No error is larger by what is said of it: four deviations, one in sixteen thousand. */
const MOST_DEVIATIONS = 4;

test.each([
  [0.03, 0.02],
  [0.045, 0.01],
  [0.01, 0.045],
  [0.02, 0.02],
])(
  'two losses of sound in a row, of %d s and %d s, are covered, and over two strikes later',
  (one, other) => {
    for (const intervalS of [0.16, 0.1, 0.07]) {
      const all = said(
        [...held(intervalS, 25), intervalS - one, intervalS - other, ...held(intervalS, 3)],
        1,
      );
      for (const each of all.slice(24)) expect(deviations(each, 1 / intervalS)).toBeLessThan(MOST_DEVIATIONS);
      expect(Math.abs(all[28]!.rateHz * intervalS - 1)).toBeLessThan(0.02);
    }
  },
);

test.each([5, 10, 14, 20, 40, 80])(
  'a blip that began %d ms before a strike is covered at it',
  (milliseconds) => {
    const [idleHz, changeHzPerS] = [7.5, 60]; // 900 rpm, to 4500 in half a second
    const sinceS = milliseconds / 1000;
    const intervalS = (1 - 0.5 * changeHzPerS * sinceS ** 2) / idleHz;
    for (const count of [10, 25, 100]) {
      const all = said([...held(1 / idleHz, count), intervalS], 5);
      const trueHz = idleHz + changeHzPerS * sinceS;
      expect(deviations(all[count]!, trueHz)).toBeLessThan(MOST_DEVIATIONS);
    }
  },
);

test('strikes that are missing now and then are no slower engine', () => {
  const random = createRandom(4, 18);
  const steps = Array.from({ length: 400 }, () => (random.uniform() < 0.08 ? 2 : 1));
  const all = said([...held(0.04, 10), ...steps.map((each) => 0.04 * each)], 3);
  for (const { rateHz } of all) expect(Math.abs(rateHz / 25 - 1)).toBeLessThan(0.02);
});

test('a strike that was set aside just where the speed changes may be a skipped one', () => {
  const doubt = followed();
  doubt.note(10, 0.2, 1e-3, 1, 0.1, false);
  expect(doubt.asideShare).toBe(0);
  doubt.note(10, 0, 1e-3, 1, 0.1, true); // straight after one off its place
  expect(doubt.asideShare).toBeGreaterThan(0.25); // twice as fast is within four deviations
  doubt.note(10, 0, 1e-3, 1, 0.1, true); // a stray where all is as before
  expect(doubt.moreVar(10)).toBe(0);
});

test('two or three intervals that are alike by chance are covered, of an engine whose cycles differ by 3 %', () => {
  for (const intervalsS of [
    [0.1, 0.1],
    [0.1, 0.1003],
    [0.1, 0.0985, 0.097],
  ]) {
    const last = said(intervalsS, 6).pop()!; // the cycle that follows is 3 % faster, and the speed at the strike halfway there
    expect(deviations(last, last.rateHz * 1.015)).toBeLessThan(MOST_DEVIATIONS);
  }
});

test('a strike on its place leaves nothing open', () => {
  const doubt = followed();
  doubt.note(10, 1e-3, 1e-3, 1, 0.1, false);
  expect(doubt.moreVar(10)).toBe(0);
  // by an even change since 0.09 s the rate is then 2 × 0.1 / 0.09 = 2.2 Hz more, by the steepest, since 0.039 s, 5.2 Hz
  doubt.note(10, 0.1, 1e-3, 1, 0.09, false);
  const sdHz = Math.sqrt(doubt.moreVar(10));
  expect(sdHz).toBeGreaterThan(5.2 / 4);
  expect(sdHz).toBeLessThan(5.2 - 2.2);
  doubt.reset();
  expect(doubt.moreVar(10)).toBeLessThan(0.2 ** 2); // that of any beat's first strike
});

test('what comes before two strikes one by one, of a beat just found, may be of an engine that has just started', () => {
  const doubt = new RateDoubt(LONGEST_S);
  doubt.note(10, 0, 0.1, 3, 0.3, false); // three intervals, or one of an engine that the starter turns
  expect(doubt.asideShare).toBeGreaterThan(0.25);
  doubt.note(10, 0.2, 0.1, 1, 0.08, false);
  expect(doubt.asideShare).toBeGreaterThan(0.25);
  doubt.note(10, 0, 1e-3, 1, 0.1, false);
  expect(doubt.asideShare).toBeGreaterThan(0.25);
  doubt.note(10, 0, 1e-3, 1, 0.1, false);
  expect(doubt.asideShare).toBe(0);
  doubt.note(10, 0, 1e-3, 3, 0.3, false); // later they are missing
  expect(doubt.asideShare).toBe(0);
  const even = followed();
  expect(even.moreVar(10)).toBe(0);
});
