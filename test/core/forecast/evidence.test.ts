import { describe, expect, test } from 'vitest';
import { evidenceOf, type Evidence } from '../../../core/forecast/evidence';
import { mechanismPosterior } from '../../../core/forecast/posterior';
import { madeRun, SQUARE, STRAIGHT, TWO_SPRINGS } from '../../helpers/made-runs';

const PARTS = { firstSpring: 'a', secondSpring: 'b', stop: 's' };
const evidence = (
  curve: (rpm: number) => number,
  count: number,
  sdDeg: number,
  toRpm = 4200,
  seed = 5,
): Evidence =>
  evidenceOf(mechanismPosterior([{ points: madeRun(curve, { seed, count, sdDeg, toRpm }), parts: PARTS }]));

describe('the mechanism beside the broken line', () => {
  test('many good readings of a balance of moments support the mechanism, in its plainest form', () => {
    const found = evidence(SQUARE, 40, 0.3);
    expect(found.supports).toBe('mechanism');
    expect(found.candidates[0]).toMatchObject({
      kind: 'mechanism',
      growing: false,
      second: false,
      figures: 6,
    });
    expect(found.text).toContain('weights against springs');
  });
  test('many good readings of a straight line support the broken line', () => {
    const found = evidence(STRAIGHT, 50, 0.12);
    expect(found.supports).toBe('broken line');
    expect(found.candidates[0]).toMatchObject({ kind: 'broken line', second: false });
  });
  test('two springs, the second with slack, are told from a straight ramp', () => {
    const found = evidence(TWO_SPRINGS, 40, 0.3, 5200);
    expect(found.supports).toBe('mechanism');
    expect(found.candidates[0]!.second).toBe(true);
    expect(found.text).toContain('second spring');
  });
  test('a few rough readings cannot tell them apart, which is said, and do not support the wrong one', () => {
    const found = [1, 3].flatMap((seed) => [
      { truth: 'mechanism', ...evidence(SQUARE, 10, 1.2, 4200, seed) },
      { truth: 'broken line', ...evidence(STRAIGHT, 10, 1.2, 4200, seed) },
    ]);
    const open = found.filter(({ supports }) => supports === null);
    expect(open.length).toBeGreaterThanOrEqual(2);
    for (const { supports, truth } of found) expect([null, truth]).toContain(supports);
    for (const { text, forMechanism } of open) {
      expect(text).toContain('cannot tell');
      expect(Math.abs(forMechanism)).toBeLessThanOrEqual(6);
    }
  });
  test('richer forms explain no less than plainer ones of their kind', () => {
    const { candidates } = evidence(SQUARE, 20, 0.5);
    const of = (growing: boolean, second: boolean): number =>
      candidates.find(
        (each) => each.kind === 'mechanism' && each.growing === growing && each.second === second,
      )!.logLikelihood;
    expect(of(true, false)).toBeGreaterThan(of(false, false) - 0.05);
    expect(of(true, true)).toBeGreaterThan(of(true, false) - 0.3);
  });
});
