/** Points as they are made to be heard: when they close. */
import { expect, test } from 'vitest';
import { Closings, closingVoice, PLAIN_POINTS } from '../../../core/scenario/closing';

const EIGHT = { strokes: 4, cylinders: 8, pickup: 'coil' } as const;
const still = { ...PLAIN_POINTS, lobeSdDeg: 0, wobbleSdDeg: 0 };
/** A steady 1500 rpm: a turn takes 40 ms. */
const steady = { timeS: 0, turns: 0, rpm: 1500, rpmPerS: 0, durationS: 1 };

test('30 degrees of 45 leave them open for 15, 30 at the crank: 3.333 ms at 1500 rpm', () => {
  const closings = new Closings(still, EIGHT, 1);
  closings.opened({ turns: 1, lead: 0 });
  closings.opened({ turns: 1.25, lead: 1 });
  const [first, second] = closings.follow(steady);
  expect(first! - 0.04).toBeCloseTo(0.04 * (30 / 360), 9);
  expect(second! - 0.05).toBeCloseTo(0.04 * (30 / 360), 9);
  expect(closings.follow({ ...steady, timeS: 1, turns: 25 })).toEqual([]);
});
test('lobes differ, but their mean is the dwell that was asked for', () => {
  const closings = new Closings({ ...still, lobeSdDeg: 0.5 }, EIGHT, 3);
  const turns = Array.from({ length: 8 }, (_, lead) => 1 + lead / 4);
  turns.forEach((at, lead) => closings.opened({ turns: at, lead }));
  const open = closings.follow(steady).map((timeS, i) => (timeS / 0.04 - turns[i]!) * 360);
  expect(open.reduce((sum, deg) => sum + deg, 0) / 8).toBeCloseTo(30, 6);
  expect(Math.max(...open) - Math.min(...open)).toBeGreaterThan(0.5);
});
test('a dwell that no cam can have is refused', () => {
  expect(() => new Closings({ ...still, dwellDeg: 45 }, EIGHT, 1)).toThrow(/between 0 and 45 degrees/);
});
test('its impulse is as large as said, and as upside down', () => {
  expect(closingVoice({ ...still, share: -0.25 }, 0.4).amplitude).toBeCloseTo(-0.1, 12);
});
