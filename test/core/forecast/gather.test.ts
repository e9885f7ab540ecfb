import { describe, expect, test } from 'vitest';
import { forecast } from '../../../core/forecast/forecast';
import { gathered, MOST_POINTS } from '../../../core/forecast/gather';
import { mechanismPosterior } from '../../../core/forecast/posterior';
import { madeRun, SQUARE } from '../../helpers/made-runs';

describe('very many readings', () => {
  test('few stay as they are', () => {
    const few = madeRun(SQUARE, { seed: 1, count: MOST_POINTS, sdDeg: 1 });
    expect(gathered(few)).toBe(few);
    expect(gathered([])).toEqual([]);
  });

  test('are gathered into groups that follow the same curve, a slip in a group hardly counting', () => {
    const many = madeRun(SQUARE, { seed: 2, count: 2400, sdDeg: 0.8 }).map((point, i) =>
      i % 40 === 7 ? { ...point, advanceDeg: point.advanceDeg + 8 } : point,
    );
    const groups = gathered(many.toReversed());
    expect(groups.length).toBe(MOST_POINTS);
    expect(groups.every(({ rpm }, i) => i === 0 || rpm > groups[i - 1]!.rpm)).toBe(true);
    // 20 readings of 0.8 have a mean good to 0.18; four of those
    for (const { rpm, advanceDeg } of groups) expect(Math.abs(advanceDeg - SQUARE(rpm))).toBeLessThan(0.8);
  });

  test('give a narrow forecast that holds the truth', () => {
    const parts = { firstSpring: 'a', secondSpring: 'b', stop: 's' };
    const points = madeRun(SQUARE, { seed: 3, count: 3000, sdDeg: 0.8 });
    const sure = { factor: 0.8, factorSd: 0, restSd: 0 };
    const result = forecast(
      mechanismPosterior([{ points, parts }]),
      {
        firstSpring: { like: 'a', ...sure },
        secondSpring: { like: 'b', ...sure },
        stop: { like: 's' },
      },
      'total',
    );
    for (let rpm = 700; rpm < 3600; rpm += 300) {
      const { low, high } = result.at(rpm);
      expect(high - low).toBeLessThan(0.8);
      expect(Math.abs((low + high) / 2 - SQUARE(rpm / Math.sqrt(0.8)))).toBeLessThan(0.3);
    }
  });
});
