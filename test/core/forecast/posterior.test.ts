/** The mechanism's lumped figures from readings whose mechanism is known. */
import { describe, expect, test } from 'vitest';
import type { Figure } from '../../../core/fit';
import { lumpedFigures } from '../../../core/forecast/lumped-figures';
import { mechanismPosterior, NoRamp } from '../../../core/forecast/posterior';
import { madeRun, SQUARE, TWO_SPRINGS } from '../../helpers/made-runs';

const PARTS = { firstSpring: 'a', secondSpring: 'b', stop: 's' };
const holds = (figure: Figure | null, truth: number): boolean =>
  figure !== null && figure.low <= truth && truth <= figure.high;

describe('a run of a mechanism with one spring', () => {
  const points = madeRun(SQUARE, { seed: 1, count: 25, sdDeg: 0.5 });
  const figures = lumpedFigures(mechanismPosterior([{ points, parts: PARTS }]));

  test('has its figures inside their intervals', () => {
    expect(holds(figures.initialDeg, 12)).toBe(true);
    expect(holds(figures.startRpm, 1000)).toBe(true);
    expect(holds(figures.allInRpm, 3000)).toBe(true);
    expect(holds(figures.rangeDeg, 20)).toBe(true);
    expect(holds(figures.firstRate, 0.4)).toBe(true); // 8 krpm² over 20 degrees
    expect(holds(figures.scatterDeg, 0.5)).toBe(true);
    expect(figures.setAside).toEqual([]);
  });
  test('shows no second spring', () => {
    expect(figures.secondRate).toBeNull();
    expect(figures.slackDeg).toBeNull();
    expect(figures.secondChance).toBeLessThan(0.5);
  });
  test('is fitted the same to the last bit each time', () => {
    expect(lumpedFigures(mechanismPosterior([{ points, parts: PARTS }]))).toEqual(figures);
  });

  test('a slip of 8 degrees is set aside and moves the figures by less than their intervals are wide', () => {
    for (const [place, off] of [
      [4, 8],
      [12, -8],
      [22, 8],
    ] as const) {
      const slipped = points.map((point, i) =>
        i === place ? { ...point, advanceDeg: point.advanceDeg + off } : point,
      );
      const found = lumpedFigures(mechanismPosterior([{ points: slipped, parts: PARTS }]));
      expect(found.setAside).toEqual([place]);
      for (const name of ['initialDeg', 'startRpm', 'allInRpm', 'rangeDeg'] as const) {
        const [clean, moved] = [figures[name]!, found[name]!];
        expect(Math.abs(moved.value - clean.value), name).toBeLessThan((clean.high - clean.low) / 2);
      }
    }
  });
});

test('a second spring is seen with its slack where the readings show it', () => {
  const points = madeRun(TWO_SPRINGS, { seed: 5, count: 40, sdDeg: 0.3, toRpm: 5200 });
  const figures = lumpedFigures(mechanismPosterior([{ points, parts: PARTS }]));
  expect(figures.secondChance).toBeGreaterThan(0.9);
  expect(holds(figures.slackDeg, 8)).toBe(true);
  expect(holds(figures.secondRate, 0.6)).toBe(true); // 0.8 less 0.2
});

describe('several runs that share parts', () => {
  // The same weights and springs, the stop 12 degrees, then 20: the ramp is one, and so is where it starts.
  const shorter = (rpm: number): number => Math.min(24, SQUARE(rpm)) + 3;
  const one = { points: madeRun(SQUARE, { seed: 3, count: 14, sdDeg: 0.8 }), parts: PARTS };
  const other = {
    points: madeRun(shorter, { seed: 4, count: 14, sdDeg: 0.8 }),
    parts: { ...PARTS, stop: 'short' },
  };
  const together = mechanismPosterior([one, other]);

  test('have each its own stop and setting', () => {
    const [long, short] = [lumpedFigures(together, 0), lumpedFigures(together, 1)];
    expect(holds(long.rangeDeg, 20)).toBe(true);
    expect(holds(short.rangeDeg, 12)).toBe(true);
    expect(holds(long.initialDeg, 12)).toBe(true);
    expect(holds(short.initialDeg, 15)).toBe(true);
  });

  test('tell of a shared spring more closely than one of them', () => {
    const width = ({ low, high }: Figure): number => high - low;
    const alone = lumpedFigures(mechanismPosterior([one]));
    expect(width(lumpedFigures(together, 0).startRpm!)).toBeLessThan(width(alone.startRpm!));
    expect(holds(lumpedFigures(together, 1).startRpm, 1000)).toBe(true);
  });

  test('other springs on the same weights keep their own start and rate', () => {
    // all forces 0.64 times: every speed 0.8 times
    const lighter = (rpm: number): number => SQUARE(rpm / 0.8);
    const light = {
      points: madeRun(lighter, { seed: 6, count: 20, sdDeg: 0.5 }),
      parts: { firstSpring: 'light', secondSpring: 'light second', stop: 's' },
    };
    const both = mechanismPosterior([one, light]);
    expect(holds(lumpedFigures(both, 1).startRpm, 800)).toBe(true);
    expect(holds(lumpedFigures(both, 1).firstRate, 0.4 * 0.64)).toBe(true);
    expect(holds(lumpedFigures(both, 0).startRpm, 1000)).toBe(true);
  });
});

describe('readings that show no mechanism', () => {
  const posterior = (points: { rpm: number; advanceDeg: number }[]) => (): unknown =>
    mechanismPosterior([{ points, parts: PARTS }]);
  test('too few, level or falling ones are refused with a sentence', () => {
    expect(posterior([{ rpm: 800, advanceDeg: 12 }])).toThrow(NoRamp);
    expect(posterior([])).toThrow(/at least 5/);
    expect(posterior(madeRun(() => 12, { seed: 1, count: 12, sdDeg: 0.3 }))).toThrow(/no rise/);
    expect(posterior(madeRun((rpm) => 30 - rpm / 200, { seed: 1, count: 12, sdDeg: 0.3 }))).toThrow(/falls/);
  });
  test('no runs and speeds that cannot be are a caller’s mistake', () => {
    expect(() => mechanismPosterior([])).toThrow(RangeError);
    expect(posterior([{ rpm: -1, advanceDeg: 12 }])).toThrow(RangeError);
    const good = mechanismPosterior([
      { points: madeRun(SQUARE, { seed: 1, count: 9, sdDeg: 0.5 }), parts: PARTS },
    ]);
    expect(() => lumpedFigures(good, 3)).toThrow(RangeError);
  });
});
