import { describe, expect, test } from 'vitest';
import { Candidates } from '../../../dsp/impulses/candidates';
import { withoutFollowingKicks } from '../../../dsp/search/following-kicks';

interface Impulse {
  readonly atS: number;
  readonly height: number;
}
const FIRSTS_S = Array.from({ length: 8 }, (_, k) => 0.06 * (k + 1));

/** What is left of these, by time. */
function left(impulses: readonly Impulse[]): number[] {
  const all = new Candidates('sharp');
  for (const { atS, height } of impulses) all.add(atS, height, 1, 1e-3, 0, 1e-12);
  const every = impulses.map((_, c) => c);
  return withoutFollowingKicks(all, every).map((c) => impulses[c]!.atS);
}

describe('kicks taller than their strikes', () => {
  test('the strikes stay, and no kick, as tall as it may be', () => {
    const impulses = FIRSTS_S.flatMap((atS, k) => [
      { atS, height: 1 },
      { atS: atS + 1e-3, height: k % 2 === 0 ? 1.5 : 0.8 }, // on a repeat, or against it
    ]);
    expect(left(impulses)).toEqual(FIRSTS_S);
  });

  test('what follows a few impulses alone is no kick: all stay', () => {
    const impulses = FIRSTS_S.flatMap((atS, k) =>
      k < 3
        ? [
            { atS, height: 1 },
            { atS: atS + 1e-3, height: 1.5 },
          ]
        : [{ atS, height: 1 }],
    );
    expect(left(impulses)).toEqual(impulses.map(({ atS }) => atS));
  });

  test('impulses that follow each other as fast as kicks all stay', () => {
    const fast = Array.from({ length: 20 }, (_, k) => ({ atS: 0.1 + 1.5e-3 * k, height: 1 }));
    expect(left(fast)).toEqual(fast.map(({ atS }) => atS));
  });

  test('of nothing nothing is left', () => expect(left([])).toEqual([]));
});
