import { describe, expect, test } from 'vitest';
import { Candidates } from '../../../dsp/impulses/candidates';
import { burstsOf } from '../../../dsp/search/repeats';

interface Impulse {
  readonly atS: number;
  readonly height: number;
}

/** A strike every 0.2 s, each with these impulses so long after it. */
function strikes(after: readonly Impulse[]): Impulse[] {
  const firsts = Array.from({ length: 8 }, (_, k) => 0.2 * (k + 1));
  return firsts.flatMap((atS) => [
    { atS, height: 1 },
    ...after.map((each) => ({ ...each, atS: atS + each.atS })),
  ]);
}

function bursts(impulses: readonly Impulse[]): { atS: number; height: number }[] | null {
  const all = new Candidates('sharp');
  for (const { atS, height } of impulses) all.add(atS, height, 1, 1e-3, 0, 1e-12);
  const every = impulses.map((_, c) => c);
  const found = burstsOf(all, every);
  return found && found.map(({ candidate, height }) => ({ atS: impulses[candidate]!.atS, height }));
}

describe('strikes that a box repeats', () => {
  test('a kick on a repeat makes that the tallest; the strike is the first, as tall as all on the mean', () => {
    const found = bursts(
      strikes([
        { atS: 1e-3, height: 1.8 },
        { atS: 2e-3, height: 0.8 },
      ]),
    );
    expect(found?.length).toBe(8);
    for (const [k, { atS, height }] of found!.entries()) {
      expect(atS).toBeCloseTo(0.2 * (k + 1), 9);
      expect(height).toBeCloseTo(1.2, 9); // (1 + 1.8 + 0.8) / 3
    }
  });

  test('strikes with their kicks alone are not repeated', () => {
    expect(bursts(strikes([{ atS: 1e-3, height: 0.8 }]))).toBeNull();
  });

  test('in nothing nothing is repeated', () => expect(bursts([])).toBeNull());
});
