/** The first advice. Expected figures: hand arithmetic; the ways to turn: common practice. */
import { describe, expect, test } from 'vitest';
import { housingAdvice } from '../../core/advice';
import { fitCurve } from '../../core/fit';

const curve = (rpm: number): number => 12 + Math.min(20, Math.max(0, (rpm - 1000) / 100));
const READINGS = Array.from({ length: 36 }, (_, i) => ({
  rpm: 500 + 100 * i,
  advanceDeg: curve(500 + 100 * i) + [0.2, -0.2, 0.1, -0.1][i % 4]!,
}));
const FIT = fitCurve(READINGS);
const target = (initialDeg: number, totalDeg: number) => ({
  corners: [
    { rpm: 1000, advanceDeg: initialDeg },
    { rpm: 3000, advanceDeg: totalDeg },
  ],
  bandDeg: 1,
});
const ENGINE = { strokes: 4, rotorSense: 'clockwise', housingDiameterMm: 90, idleRpm: 750 } as const;

test('a total 4 degrees short: advance by 4, the housing by 2, against the rotor, along an arc of π·90·2/360 = 1.57 mm', () => {
  const advice = housingAdvice(FIT, target(14, 36), ENGINE);
  expect(advice.kind).toBe('turn');
  expect(advice.moveDeg!.value).toBeCloseTo(4, 0);
  expect(advice.housingDeg!).toBeCloseTo(advice.moveDeg!.value / 2, 12);
  expect(advice.arcMm!).toBeCloseTo((Math.PI * 90 * advice.housingDeg!) / 360, 12);
  expect(Math.abs(advice.arcMm! - 1.57)).toBeLessThan(0.1);
  expect(advice.turn).toBe('anticlockwise');
});

test('idle then reads 4 degrees more than it did, from the figures that stand beside the sentence', () => {
  const advice = housingAdvice(FIT, target(14, 36), ENGINE);
  expect(Math.abs(advice.idleAfterDeg!.value - 16)).toBeLessThan(0.3);
  const said = advice.sentences.join(' ');
  for (const figure of [advice.moveDeg!.value, advice.housingDeg!, advice.arcMm!, advice.idleAfterDeg!.value])
    expect(said).toContain(Math.abs(figure).toFixed(1));
});

test('a total 4 degrees over: retard, with the rotor', () => {
  const advice = housingAdvice(FIT, target(12, 28), ENGINE);
  expect(advice.moveDeg!.value).toBeCloseTo(-4, 0);
  expect(advice.turn).toBe('clockwise');
  expect(advice.sentences[0]).toMatch(/^Retard by/);
});

describe('cautions', () => {
  const knock = (totalDeg: number): boolean =>
    housingAdvice(FIT, target(12, totalDeg), ENGINE).cautions.join(' ').includes('knock');
  test('advice that adds advance warns of knock; advice that takes it away does not', () => {
    expect(knock(36)).toBe(true);
    expect(knock(28)).toBe(false);
  });
  test("every advice puts the maker's data first", () => {
    for (const totalDeg of [28, 32, 36])
      expect(housingAdvice(FIT, target(12, totalDeg), ENGINE).cautions.join(' ')).toContain("maker's data");
  });
});

test('a move smaller than its uncertainty is left: it is within what can be read', () => {
  const advice = housingAdvice(FIT, target(12, 32.02), ENGINE);
  expect(advice.kind).toBe('leave');
  expect(advice.sentences.join(' ')).toContain('within what can be read');
});

test('the initial, or the advance at one speed, can be put on target instead', () => {
  expect(housingAdvice(FIT, target(15, 35), ENGINE, 'initial').moveDeg!.value).toBeCloseTo(3, 0);
  expect(housingAdvice(FIT, target(12, 32), ENGINE, { rpm: 2000 }).kind).toBe('leave');
  expect(housingAdvice(FIT, target(12, 38), ENGINE, { rpm: 2000 }).moveDeg!.value).toBeCloseTo(3, 0); // 25 wanted, 22 read
});

describe('what is not known is asked for, not guessed', () => {
  test('no turning sense and no diameter: no way and no arc, and both are named', () => {
    const advice = housingAdvice(FIT, target(12, 36), {
      ...ENGINE,
      rotorSense: null,
      housingDiameterMm: null,
    });
    expect([advice.turn, advice.arcMm]).toEqual([null, null]);
    expect(advice.missing).toHaveLength(2);
    expect(advice.sentences.join(' ')).toContain('turning sense');
    expect(advice.sentences.join(' ')).not.toContain('clockwise');
  });
  test('no idle speed: nothing is said of idle', () => {
    const advice = housingAdvice(FIT, target(12, 36), { ...ENGINE, idleRpm: null });
    expect(advice.idleAfterDeg).toBeNull();
    expect(advice.sentences.join(' ')).not.toContain('Idle');
  });
  test('a total that is not seen: no move', () => {
    const low = fitCurve(READINGS.filter(({ rpm }) => rpm < 2600));
    const advice = housingAdvice(low, target(12, 36), ENGINE);
    expect(advice.kind).toBe('unknown');
    expect(advice.moveDeg).toBeNull();
    expect(advice.sentences[0]).toContain('not seen yet');
  });
  test('a target without corners is a mistake', () => {
    expect(() => housingAdvice(FIT, { corners: [], bandDeg: 1 }, ENGINE)).toThrow(RangeError);
  });
});

test('a distributor that turns with the crank of a two-stroke moves as far as the advance', () => {
  const advice = housingAdvice(FIT, target(14, 36), { ...ENGINE, strokes: 2 });
  expect(advice.housingDeg!).toBeCloseTo(advice.moveDeg!.value, 12);
});

describe('limits and knock', () => {
  const limits = { mostTotalDeg: null, mostIdleDeg: null, mostCruiseDeg: null };
  const knocks = [{ id: 'k', at: '2026-05-01T18:20:00Z', rpm: 2600, note: '' }];
  test('a limit on the total is aimed at in place of a target above it, and the advice says so', () => {
    const guard = { limits: { ...limits, mostTotalDeg: 34 }, knocks: [] };
    const advice = housingAdvice(FIT, target(14, 36), ENGINE, 'total', guard);
    expect(advice.wantedDeg).toBe(34);
    expect(advice.cautions.join(' ')).toContain(
      'The target wants 36.0 degrees; your limit holds the total at 34.0',
    );
  });
  test('an initial that would lift the total above its limit is not advised: the range comes first', () => {
    const guard = { limits: { ...limits, mostTotalDeg: 34 }, knocks: [] };
    const advice = housingAdvice(FIT, target(16, 34), ENGINE, 'initial', guard); // 16 + 20 of range is 36
    expect(advice.kind).toBe('blocked');
    expect(advice.sentences[0]).toMatch(
      /^The total would then be 3[56]\.\d degrees, above your limit of 34\.0/,
    );
    expect([advice.moveDeg, advice.housingDeg, advice.turn]).toEqual([null, null, null]);
  });
  test('more initial is not advised under a limit while the total is not seen', () => {
    const short = fitCurve(READINGS.filter(({ rpm }) => rpm < 2500));
    const guard = { limits: { ...limits, mostTotalDeg: 34 }, knocks: [] };
    expect(housingAdvice(short, target(16, 34), ENGINE, 'initial', guard).kind).toBe('blocked');
  });
  test('an idle above its limit after the move is cautioned of', () => {
    const guard = { limits: { ...limits, mostIdleDeg: 14 }, knocks: [] };
    const said = housingAdvice(FIT, target(14, 36), ENGINE, 'total', guard).cautions.join(' ');
    expect(said).toMatch(/After this: The advance at idle, 16\.\d degrees .* above your limit of 14\.0/);
  });
  test('a note of knock stops advice that adds advance, not advice that takes it away', () => {
    const guard = { limits, knocks };
    expect(housingAdvice(FIT, target(14, 36), ENGINE, 'total', guard).kind).toBe('blocked');
    expect(housingAdvice(FIT, target(12, 28), ENGINE, 'total', guard).kind).toBe('turn');
    expect(housingAdvice(FIT, target(12, 32.02), ENGINE, 'total', guard).kind).toBe('leave');
  });
});
