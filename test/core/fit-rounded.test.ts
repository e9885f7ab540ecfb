/** Readings rounded by eye, 10 to 16 of them: the intervals against known truth, and what is shown. Seeds are fixed, so
 * each run gives the same figures. More sets for a closer look: CLAMPLINE_SEEDS=1000. */
import { describe, expect, test } from 'vitest';
import { fitCurve } from '../../core/fit';
import { roundedSet, type RoundedOptions } from '../helpers/rounded-sets';

const SEEDS = Number(process.env['CLAMPLINE_SEEDS'] ?? 200);
const FIGURES = ['initialDeg', 'startRpm', 'allInRpm', 'totalDeg'] as const;

/** Shares of sets in which each figure is shown, and of those in which its interval holds the truth. */
function scores(options: RoundedOptions) {
  const tally = FIGURES.map((name) => ({ name, seen: 0, held: 0 }));
  for (let seed = 1; seed <= SEEDS; seed++) {
    const { truth, readings } = roundedSet(seed, options);
    const fit = fitCurve(readings);
    for (const one of tally) {
      const figure = fit[one.name];
      if (figure === null) continue;
      one.seen++;
      if (figure.low <= truth[one.name] && truth[one.name] <= figure.high) one.held++;
    }
  }
  const found = tally.map(({ name, seen, held }) => ({ name, shown: seen / SEEDS, held: held / seen, seen }));
  const said = found.map(
    (f) => `${f.name} ${(100 * f.held).toFixed(1)} % of ${(100 * f.shown).toFixed(0)} %`,
  );
  console.info(`${JSON.stringify(options)}: ${said.join(', ')}`);
  return found;
}

describe('95 % intervals of readings rounded by eye', { timeout: 600_000 }, () => {
  const kinds: RoundedOptions[] = ([1, 2] as const).flatMap((power) =>
    [0.5, 1].flatMap((roundDeg) => [0.3, 0.8].map((sdDeg) => ({ power, sdDeg, roundDeg }))),
  );
  test.each([...kinds, { power: 2, sdDeg: 0.5, roundDeg: 0.5, speedSd: 30 } as const])(
    'hold the truth and are shown: %j',
    (options) => {
      for (const { name, held, seen, shown } of scores(options)) {
        // 95 % less three standard errors of so many sets. A little too wide is no fault.
        expect(held, name).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / seen));
        expect(shown, name).toBeGreaterThan(0.4);
      }
    },
  );
});

test('with three readings on the top level, total and all-in are shown nine times in ten', () => {
  for (const { name, shown, held } of scores({ power: 2, sdDeg: 0.4, roundDeg: 0.5, onTop: 3 }).slice(2)) {
    expect(shown, name).toBeGreaterThan(0.9);
    expect(held, name).toBeGreaterThan(0.92);
  }
});

describe('a job of 14 readings to half a degree', () => {
  /** Straight in the square of the speed from 8 degrees at 1600 rpm to 24 at 3560 rpm, each reading off by half a degree or so,
   * that at 1680 rpm by more. */
  const READ = [
    [821, 8.5],
    [981, 8.5],
    [1199, 7.5],
    [1444, 8],
    [1680, 7.5],
    [1944, 10],
    [2192, 11.5],
    [2495, 14],
    [2795, 15.5],
    [3100, 19.5],
    [3406, 22],
  ] as const;
  const withTop = (...top: readonly (readonly [number, number])[]) =>
    fitCurve([...READ, ...top].map(([rpm, advanceDeg]) => ({ rpm, advanceDeg })));

  test('shows total and all-in from 24, 23.5 and 23.5 on the level, and the start with an interval that holds it', () => {
    const { totalDeg, allInRpm, startRpm } = withTop([3705, 24], [3771, 23.5], [3837, 23.5]);
    for (const [figure, truth] of [
      [totalDeg, 24],
      [allInRpm, 3560],
      [startRpm, 1600],
    ] as const) {
      expect(figure!.low).toBeLessThan(truth);
      expect(figure!.high).toBeGreaterThan(truth);
    }
  });
  test('that still climbs a little at the top says at which speed to read again', () => {
    const fit = withTop([3705, 23], [3771, 24], [3837, 24.5]);
    expect(fit.totalDeg).toBeNull();
    expect(fit.notes.join(' ')).toContain('3837 rpm');
  });
});
