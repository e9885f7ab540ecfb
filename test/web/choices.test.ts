import { expect, test } from 'vitest';
import { choicesAround, likelySeenDeg, type ChoiceFacts } from '../../web/views/run/choices';
import { seenFor } from '../../core/reading';

const NONE = { tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 0 };
const TARGET = { corners: [{ rpm: 1000, advanceDeg: 10 }, { rpm: 3000, advanceDeg: 30 }], bandDeg: 2 }; // prettier-ignore
const BARE: ChoiceFacts = {
  rpm: 2000,
  curve: null,
  last: null,
  target: null,
  seenAt: seenFor,
  corrections: NONE,
};

test('choices stand around the likely value in steps of 1 or of a half', () => {
  expect(choicesAround(19.3, 1, 7)).toEqual([16, 17, 18, 19, 20, 21, 22]);
  expect(choicesAround(19.3, 0.5, 5)).toEqual([18.5, 19, 19.5, 20, 20.5]);
  expect(choicesAround(0.2, 1, 3)).toEqual([-1, 0, 1]);
  expect(choicesAround(null, 1, 7)).toEqual([]);
});

test('with nothing to go by no value is likely', () => expect(likelySeenDeg(BARE)).toBeNull());

test('the curve goes before the last reading', () => {
  const curve = { rpm: [1000, 3000], advanceDeg: [12, 32] };
  expect(likelySeenDeg({ ...BARE, curve, last: { rpm: 1900, seenDeg: 3 } })).toBe(22);
});

test('the last reading is moved along the slope of the target', () => {
  expect(likelySeenDeg({ ...BARE, last: { rpm: 1500, seenDeg: 13 }, target: TARGET })).toBe(18);
  expect(likelySeenDeg({ ...BARE, last: { rpm: 1500, seenDeg: 13 } })).toBe(13);
});

test('corrections are undone: what the tape shows is offered', () => {
  // by hand: tape zero 2 degrees high; 100 µs at 2000 rpm hides 6 · 2000 · 1e-4 = 1.2 degrees: 20 + 2 − 1.2
  const corrections = { tapeZeroErrorDeg: 2, tapeZeroSdDeg: null, lightDelayUs: 100 };
  expect(likelySeenDeg({ ...BARE, target: TARGET, corrections })).toBeCloseTo(20.8, 9);
});
