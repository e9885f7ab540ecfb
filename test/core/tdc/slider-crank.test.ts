/** Crank angle and the piston's drop. Values with their sources beside them. */
import { describe, expect, test } from 'vitest';
import { crankDegAtDrop, crankDegPerMm, pistonDropMm } from '../../../core/tdc/slider-crank';

const CRANK = { strokeMm: 80, rodMm: 140 };

// s = a cos θ + √(l² − a² sin² θ), CanSen docs/icengine.rst citing Heywood (1988) chapter 2; drop = a + l − s, worked
// with numpy for a = 40, l = 140. Six decimals are printed.
const WORKED = [
  [10, 0.780103],
  [15, 1.746276],
  [90, 45.835921],
  [180, 80],
] as const;

describe('the drop', () => {
  test.each(WORKED)('at %f degrees of a throw of 40 on a rod of 140 is %f mm', (deg, dropMm) => {
    expect(pistonDropMm(deg, CRANK)).toBeCloseTo(dropMm, 6);
    expect(pistonDropMm(-deg, CRANK)).toBeCloseTo(dropMm, 6);
  });
  test('of a 3.48 in stroke on a 5.7 in rod at 10 degrees is 0.03445 in (0.026434 + 0.008014 by hand)', () => {
    const inches = { strokeMm: 3.48 * 25.4, rodMm: 5.7 * 25.4 };
    expect(pistonDropMm(10, inches) / 25.4).toBeCloseTo(0.026434 + 0.008014, 5);
  });
  test('at the top is none', () => {
    expect(pistonDropMm(0, CRANK)).toBe(0);
  });
});

describe('the crank angle', () => {
  test.each(WORKED)('of %f degrees comes back from its drop of %f mm', (deg, dropMm) => {
    expect(crankDegAtDrop(dropMm, CRANK)).toBeCloseTo(deg, 4);
  });
  test('is 0 at the top', () => {
    expect(crankDegAtDrop(0, CRANK)).toBe(0);
  });
  test.each([2, 10, 33, 90, 150])(
    'at %i degrees changes with drop as the quotient of two near drops',
    (deg) => {
      const [a, b] = [pistonDropMm(deg - 1e-4, CRANK), pistonDropMm(deg + 1e-4, CRANK)];
      expect(crankDegPerMm(pistonDropMm(deg, CRANK), CRANK) * ((b - a) / 2e-4)).toBeCloseTo(1, 5);
    },
  );
});

test('what cannot be is refused: a rod too short, no stroke, a drop past the stroke, a piston that stands still', () => {
  expect(() => pistonDropMm(10, { strokeMm: 80, rodMm: 40 })).toThrow(/rod longer than half the stroke/);
  expect(() => pistonDropMm(10, { strokeMm: 0, rodMm: 40 })).toThrow(/stroke over 0/);
  expect(() => crankDegAtDrop(81, CRANK)).toThrow(/drop from 0 to the stroke/);
  expect(() => crankDegAtDrop(-1, CRANK)).toThrow(RangeError);
  expect(() => crankDegPerMm(0, CRANK)).toThrow(/at which the piston moves/);
});
