import { expect, test } from 'vitest';
import { Reading } from '../../../dsp/beat/reading-of-beat';

/** A reading whose intervals are these by the mean one. */
function readingOf(intervals: readonly number[]): Reading {
  const reading = new Reading(intervals.length);
  reading.slotShift.set(intervals.map(Math.log));
  return reading;
}
const placesOf = (reading: Reading): number[] =>
  [...reading.slotShift.keys()].map((slot) => reading.placeOf(slot));

test('strikes of an odd-fire engine stand beside an even beat as far as their intervals say', () => {
  const places = placesOf(readingOf([0.75, 1.25, 0.75, 1.25]));
  expect(places.map((place) => place - places[0]!)).toEqual([0, -0.25, 0, -0.25]);
});

test('what is learnt of one interval moves no strike on average, so that it is not taken for the engine’s speed', () => {
  for (const intervals of [[1], [0.9, 1.1], [1.02, 0.99, 0.99], [0.7, 1.1, 1.15, 1.05]]) {
    const sum = placesOf(readingOf(intervals)).reduce((total, place) => total + place, 0);
    expect(sum).toBeCloseTo(0, 12);
  }
});
