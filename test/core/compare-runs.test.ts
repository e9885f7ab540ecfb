/** Runs side by side, on made sets from code that the fit does not share (test/helpers/reading-sets.ts). */
import { describe, expect, test } from 'vitest';
import { compareRuns, type RunSide } from '../../core/compare-runs';
import { type CurvePoint, fitCurve } from '../../core/fit';
import { type CurveTruth, madeReadingSet } from '../helpers/reading-sets';

/** More seeds for a closer look: CLAMPLINE_SEEDS=400. */
const SEEDS = Number(process.env['CLAMPLINE_SEEDS'] ?? 100);
const PROVED = { tapeZeroErrorDeg: 0, tapeZeroSdDeg: 0.3 };
const side = (points: readonly CurvePoint[], corrections: RunSide['corrections'] = PROVED): RunSide => ({
  points,
  fit: fitCurve(points),
  corrections,
});

const truthAt = ({ initialDeg, startRpm, allInRpm, totalDeg }: CurveTruth, rpm: number): number =>
  initialDeg +
  ((totalDeg - initialDeg) * (Math.min(allInRpm, Math.max(startRpm, rpm)) - startRpm)) /
    (allInRpm - startRpm);

test('intervals of the differences hold the true difference as often as they say: each figure, and the curve', () => {
  const held: Record<string, number[]> = {};
  const note = (name: string, truth: number, { low, high }: { low: number; high: number }): void => {
    (held[name] ??= []).push(truth >= low && truth <= high ? 1 : 0);
  };
  for (let seed = 0; seed < SEEDS; seed++) {
    const [a, b] = [madeReadingSet(2 * seed + 1), madeReadingSet(2 * seed + 2)];
    const { figures, curve } = compareRuns(side(a.readings), side(b.readings));
    const trueChange = {
      initial: b.truth.initialDeg - a.truth.initialDeg,
      start: b.truth.startRpm - a.truth.startRpm,
      'all-in': b.truth.allInRpm - a.truth.allInRpm,
      total: b.truth.totalDeg - a.truth.totalDeg,
      range: b.truth.totalDeg - b.truth.initialDeg - a.truth.totalDeg + a.truth.initialDeg,
    };
    for (const { name, change } of figures) if (change) note(name, trueChange[name], change);
    for (const { rpm, changeDeg } of curve.filter((_, i) => i % 8 === seed % 8))
      note('curve', truthAt(b.truth, rpm) - truthAt(a.truth, rpm), changeDeg);
  }
  for (const name of ['initial', 'start', 'all-in', 'total', 'range', 'curve']) {
    const { length } = held[name]!;
    const share = held[name]!.reduce((sum, hit) => sum + hit, 0) / length;
    expect(length, name).toBeGreaterThan(SEEDS / 3);
    // 95 % less three standard errors of so many pairs. A little too wide is no fault.
    expect(share, name).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / Math.min(length, SEEDS)));
  }
});

/** One made set dealt out in turns into two runs: one curve, two sets of readings. */
function dealt(seed: number): [CurvePoint[], CurvePoint[]] | null {
  const { readings } = madeReadingSet(seed);
  if (readings.length < 20) return null;
  return [readings.filter((_, i) => i % 2 === 0), readings.filter((_, i) => i % 2 === 1)];
}

test('two runs of one curve are called different in at most 1 of 10', () => {
  let [pairs, called] = [0, 0];
  for (let seed = 500; seed < 500 + SEEDS; seed++) {
    const halves = dealt(seed);
    if (!halves) continue;
    pairs++;
    if (compareRuns(side(halves[0]), side(halves[1])).changed) called++;
  }
  expect(pairs).toBeGreaterThan(SEEDS / 3);
  expect(called / pairs).toBeLessThan(0.1);
});

describe('a real change', () => {
  const [first, second] = Array.from({ length: 50 }, (_, i) => dealt(700 + i)).find((halves) => halves)!;
  const moved = second.map(({ rpm, advanceDeg }) => ({ rpm, advanceDeg: advanceDeg + 4 }));

  test('the housing turned by 4 degrees is seen: initial and total moved, the range did not', () => {
    const { changed, figures, text } = compareRuns(side(first), side(moved));
    const by = (name: string) => figures.find((one) => one.name === name)!;
    expect(changed).toBe(true);
    expect([by('initial').changed, by('total').changed, by('range').changed]).toEqual([true, true, false]);
    expect(by('total').change!.low).toBeLessThan(4);
    expect(by('total').change!.high).toBeGreaterThan(4);
    expect(text).toMatch(/^The curve did change .* For sure: initial \d\.\d degrees more/);
  });
  test('a change that the tapes’ zeros leave open is not called one', () => {
    const [a, b] = [
      { tapeZeroErrorDeg: 0, tapeZeroSdDeg: 2 },
      { tapeZeroErrorDeg: 1, tapeZeroSdDeg: 2 },
    ];
    const { changed, figures, notes } = compareRuns(side(first, a), side(moved, b));
    expect(changed).toBe(false);
    expect(figures.find(({ name }) => name === 'total')!.changed).toBe(false);
    expect(notes[0]).toContain('different proofs of TDC');
  });
  test('one proof for both runs cancels, however uncertain', () => {
    const unsure = { tapeZeroErrorDeg: 1, tapeZeroSdDeg: 2 };
    const { changed, notes } = compareRuns(side(first, unsure), side(moved, unsure));
    expect([changed, notes]).toEqual([true, []]);
  });
  test('an error of the tape that was set but never proved is said', () => {
    const [a, b] = [0, 2].map((tapeZeroErrorDeg) => ({ tapeZeroErrorDeg, tapeZeroSdDeg: null }));
    expect(compareRuns(side(first, a), side(moved, b)).notes[0]).toContain('was not proved');
  });
});

test('a figure that one of the runs does not show has no difference, and no sentence', () => {
  const { readings } = madeReadingSet(3);
  const { readings: short } = madeReadingSet(3, { reach: 'no all-in' });
  const { figures, text } = compareRuns(side(readings), side(short));
  const total = figures.find(({ name }) => name === 'total')!;
  expect([total.after, total.change, total.changed]).toEqual([null, null, null]);
  expect(text).not.toContain('total');
});

test('too few readings say nothing', () => {
  const few = [600, 700, 800].map((rpm) => ({ rpm, advanceDeg: 12 }));
  const { changed, chance, text } = compareRuns(side(few), side(few));
  expect([changed, chance]).toEqual([null, null]);
  expect(text).toContain('Too few');
});

test('a fit of other readings is refused', () => {
  const { readings } = madeReadingSet(3);
  const wrong = { ...side(readings), points: readings.slice(1) };
  expect(() => compareRuns(wrong, side(readings))).toThrow(RangeError);
});
