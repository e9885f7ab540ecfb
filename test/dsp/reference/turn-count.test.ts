/** Turns between pulses, by hand arithmetic. */
import { expect, test } from 'vitest';
import { TurnCount } from '../../../dsp/reference/turn-count';

test('the rate tells the first count, the turn before the next ones', () => {
  const count = new TurnCount();
  expect(count.between(0.02, null)).toBe(0);
  expect(count.between(0.02, 50)).toBe(1);
  expect(count.between(0.04, 25)).toBe(2); // a rate that took the gap for a turn is not believed
  expect(count.between(0.02, 25)).toBe(1);
});

test('a turn that shrinks by a third as the engine is blipped is one turn', () => {
  const count = new TurnCount();
  count.between(0.06, 1 / 0.06);
  for (const turnS of [0.042, 0.032, 0.026]) expect(count.between(turnS, 1 / turnS)).toBe(1);
});

test('a count that the rate gainsays again and again is given up', () => {
  const count = new TurnCount();
  count.between(0.02, 100); // two turns, it was told; in truth it was one
  const counts = Array.from({ length: 8 }, () => count.between(0.02, 50));
  expect(counts.at(-1)).toBe(1);
});

test('after a break only the rate counts, and nothing without it', () => {
  const count = new TurnCount();
  count.between(0.02, 50);
  count.startAnew();
  expect(count.between(0.5, null)).toBe(0);
});
