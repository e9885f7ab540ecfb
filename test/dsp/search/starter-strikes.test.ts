import { describe, expect, test } from 'vitest';
import type { Beat, BeatLimits } from '../../../dsp/beat/beat-limits';
import { Candidates } from '../../../dsp/impulses/candidates';
import { starterStrikes } from '../../../dsp/search/starter-strikes';

/** From 150 to 12 000 rpm with a strike for two turns. */
const LIMITS: BeatLimits = {
  shortestS: 0.01,
  longestS: 0.8,
  patternLength: 1,
  repeatShare: 0.03,
  twoEdges: false,
};
/** An engine that idles at 1000 rpm. */
const IDLE_S = [2, 2.12, 2.24, 2.36, 2.48, 2.6];

interface Impulse {
  readonly atS: number;
  readonly height: number;
}

/** Times of the strikes found before an idling beat of strikes of height 1. */
function before(impulses: readonly Impulse[], isAlike = (_atS: number): boolean => true): number[] {
  const all = new Candidates('sharp');
  const beat = IDLE_S.map((atS) => ({ atS, height: 1 }));
  const inOrder = [...impulses, ...beat].sort((a, b) => a.atS - b.atS);
  for (const { atS, height } of inOrder) all.add(atS, height, 1, 1e-3, 0, 1e-12);
  const strikes = IDLE_S.map((atS) => inOrder.findIndex((each) => each.atS === atS));
  const idling: Beat = {
    strikes,
    steps: [0, 1, 1, 1, 1, 1],
    sign: 1,
    periodS: 0.12,
    lead: 1,
    pattern: null,
    isCut: false,
  };
  const timeS = (c: number): number => all.timeS[all.at(c)]!;
  return starterStrikes(all, idling, 0, LIMITS, (c) => (isAlike(timeS(c)) ? timeS(c) : null));
}

/** As a starter turns an engine at 210 rpm and it catches. */
const STARTED = [
  { atS: 0.7, height: 0.8 },
  { atS: 1.27, height: 1.1 },
  { atS: 1.78, height: 0.9 },
];

describe('strikes of a starter’s turns', () => {
  test('those before the engine catches are found, oldest first', () => {
    expect(before(STARTED)).toEqual([0.7, 1.27, 1.78]);
  });

  test('a strike’s kick and what other leads leave are none', () => {
    const kick = { atS: 1.7815, height: 0.8 };
    const others = [1.4, 1.5, 1.6, 2.05, 2.2].map((atS) => ({ atS, height: 0.2 }));
    expect(before([...STARTED, kick, ...others])).toEqual([0.7, 1.27, 1.78]);
  });

  test('none is taken that stands no clearer than what comes between strikes', () => {
    const others = [2.05, 2.2].map((atS) => ({ atS, height: 0.75 }));
    expect(before([{ atS: 1.78, height: 0.9 }, ...others])).toEqual([]);
  });

  test('where sound was lost a strike seems to come too soon, those before it do not', () => {
    const lost = [1.7, 1.82, 1.94].map((atS) => ({ atS, height: 1 }));
    expect(before(lost)).toEqual([1.7, 1.82, 1.94]);
  });

  test('what has another shape ends the way back', () => {
    expect(before(STARTED, (atS) => atS !== 1.27)).toEqual([1.78]);
  });

  test('what comes too soon before, or too long, ends the way back', () => {
    expect(before([{ atS: 1.97, height: 1 }])).toEqual([]);
    expect(before([{ atS: 1.1, height: 1 }])).toEqual([]); // no starter turns so slowly
    expect(before([])).toEqual([]);
  });
});
