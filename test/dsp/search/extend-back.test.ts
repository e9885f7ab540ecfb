import { expect, test } from 'vitest';
import type { Beat, BeatLimits } from '../../../dsp/beat/beat-limits';
import { Candidates } from '../../../dsp/impulses/candidates';
import { extendBack } from '../../../dsp/search/extend-back';

const LIMITS: BeatLimits = {
  shortestS: 0.01,
  longestS: 0.8,
  patternLength: 1,
  repeatShare: 0.03,
  twoEdges: false,
};
const BEAT_S = [2, 2.1, 2.2, 2.3, 2.4, 2.5];

/** Times of the beat's strikes once it was taken back, impulses before it by time and height. */
function takenBack(impulses: readonly (readonly [number, number])[]): number[] {
  const all = new Candidates('sharp');
  for (const [atS, height] of impulses) all.add(atS, height, 1, 1e-3, 0, 1e-12);
  const first = all.end;
  for (const atS of BEAT_S) all.add(atS, 1, 1, 1e-3, 0, 1e-12);
  const beat: Beat = {
    strikes: BEAT_S.map((_, k) => first + k),
    steps: [0, 1, 1, 1, 1, 1],
    sign: 1,
    periodS: 0.1,
    lead: 1,
    pattern: null,
    isCut: false,
  };
  return extendBack(all, beat, 0, LIMITS).strikes.map((c) => all.timeS[all.at(c)]!);
}

test('a beat goes back over strikes in their places, one of them missing', () => {
  const before = [
    [1.6, 1],
    [1.7, 0.8],
    [1.9, 1.1],
  ] as const;
  expect(takenBack(before)).toEqual([1.6, 1.7, 1.9, ...BEAT_S]);
});

test('another lead’s low impulse two intervals before is no strike where a tall one stands between', () => {
  const before = [
    [1.8, 0.35],
    [1.86, 1],
  ] as const;
  expect(takenBack(before)).toEqual(BEAT_S);
});

test('a stray a little off the place of a beat’s first strike is none, an interval that differs with those after it is one', () => {
  expect(takenBack([[1.905, 1]])).toEqual(BEAT_S);
  expect(takenBack([[1.9, 1]])).toEqual([1.9, ...BEAT_S]);
  expect(
    takenBack([
      [1.79, 1],
      [1.897, 1],
    ]),
  ).toEqual([1.79, 1.897, ...BEAT_S]); // the engine slowed
});
