/** The sweep and the search against slow, plain least squares by triangles, and sums worked by hand. */
import { describe, expect, test } from 'vitest';
import { closer, evenly, lookAt, settle, type CornerRange } from '../../../core/curve/corner-search';
import { leastSquares } from '../../../core/curve/least-squares';
import { goesOneWay, shapeAt } from '../../../core/curve/ramp-shapes';
import { RampSweep } from '../../../core/curve/ramp-sweep';
import { createRandom } from '../../../dsp/maker/random';

const random = createRandom(11);
const X = Float64Array.from({ length: 25 }, () => random.uniform()).sort();
const Y = X.map((x) => 3 * Math.min(1, Math.max(0, (x - 0.3) / 0.4)) + 0.1 * random.normal());
const W = X.map(() => random.between(0.5, 2));

describe('the sweep', () => {
  test.each([[[0.31, 0.66]], [[0.2, 0.5, 0.75]], [[0, 0.4, 0.8, 1]]])(
    'solves at %j as plain weighted least squares in the levels does, errors too',
    (corners) => {
      const sweep = new RampSweep({ x: X, y: Y, w: W }, corners.length);
      let cells = 0;
      sweep.forEach(
        corners.map((corner) => sweep.grid(Float64Array.of(corner))),
        () => cells++,
      );
      sweep.spread();
      const columns = corners.map((_, k) =>
        Array.from(X, (x) => {
          const weights = new Float64Array(corners.length);
          shapeAt(corners, x, weights);
          return weights[k]!;
        }),
      );
      const plain = leastSquares(columns, Y, W)!;
      expect(cells).toBe(1);
      expect(sweep.cell.sse).toBeCloseTo(plain.sse, 10);
      corners.forEach((_, k) => {
        expect(sweep.cell.levels[k]!).toBeCloseTo(plain.coefficients[k]!, 10);
        const error = Math.sqrt((sweep.cell.covariance[k * corners.length + k]! * plain.sse) / plain.freedom);
        expect(error).toBeCloseTo(plain.standardErrors![k]!, 10);
      });
    },
  );

  test('passes over corners that no point supports, and corners out of order', () => {
    const points = {
      x: Float64Array.of(0, 0.1, 0.9, 1),
      y: Float64Array.of(0, 0, 1, 1),
      w: Float64Array.of(1, 1, 1, 1),
    };
    const sweep = new RampSweep(points, 3);
    const seen: number[][] = [];
    const grid = sweep.grid(Float64Array.of(0.3, 0.4, 0.5));
    sweep.forEach([grid, grid, grid], (cell) => seen.push([...cell.corners]));
    expect(seen).toEqual([]); // the middle level stands in a gap without a point
  });

  test('gives each place its share of two levels: a quarter of the way, three quarters of the first', () => {
    const weights = new Float64Array(2);
    shapeAt([1, 3], 1.5, weights);
    expect([...weights]).toEqual([0.75, 0.25]);
    shapeAt([1, 3], 0, weights);
    expect([...weights]).toEqual([1, 0]);
    shapeAt([1, 3], 9, weights);
    expect([...weights]).toEqual([0, 1]);
  });
});

describe('the search for corners', () => {
  const sweep = new RampSweep({ x: X, y: Y, w: W }, 2);
  const ranges: CornerRange[] = [
    [0, 1],
    [0, 1],
  ];
  const look = lookAt(
    sweep,
    ranges.map((range) => evenly(range, 30)),
  );

  test('settles where no neighbour does better', () => {
    const foot = settle(sweep, look, ranges, 20);
    expect(foot.sse).toBeLessThanOrEqual(look.sse);
    for (const [a, b] of [
      [1e-3, 0],
      [-1e-3, 0],
      [0, 1e-3],
      [0, -1e-3],
    ] as const) {
      const beside = lookAt(sweep, [
        Float64Array.of(foot.corners[0]! + a),
        Float64Array.of(foot.corners[1]! + b),
      ]);
      expect(beside.sse).toBeGreaterThanOrEqual(foot.sse);
    }
  });

  test('narrows to a stretch that holds every place within the limit', () => {
    const limit = 1.2 * look.sse;
    const near = closer(look, limit, look.corners, ranges);
    look.profiles.forEach(({ at, least }, k) => {
      at.forEach((place, i) => {
        if (least[i]! <= limit) {
          expect(place).toBeGreaterThanOrEqual(near[k]![0]);
          expect(place).toBeLessThanOrEqual(near[k]![1]);
        }
      });
      expect(near[k]![1] - near[k]![0]).toBeLessThan(1);
    });
  });

  test('keeps a fixed corner where it is', () => {
    expect([...evenly([0.4, 0.4], 9)]).toEqual([0.4]);
    expect([...evenly([0, 1], 5)]).toEqual([0, 0.25, 0.5, 0.75, 1]);
  });
});

describe('a curve of two slopes', () => {
  const curve = (...levels: number[]) => ({
    corners: Float64Array.of(0, 1, 3),
    levels: Float64Array.from(levels),
  });
  test('may rise, or fall, in both', () => {
    expect(goesOneWay(curve(8, 12, 18))).toBe(true);
    expect(goesOneWay(curve(18, 12, 8))).toBe(true);
  });
  test('may not turn back', () => expect(goesOneWay(curve(8, 12, 11))).toBe(false));
  test('may not go on at a slope less than a tenth of the lower: that is its level', () => {
    expect(goesOneWay(curve(8, 12, 12.7))).toBe(false);
    expect(goesOneWay(curve(8, 12, 12.9))).toBe(true);
  });
  test('is not looked at by a sweep that may not', () => {
    const sweep = new RampSweep({ x: X, y: Y, w: W }, 3, () => false);
    let seen = 0;
    const places = sweep.grid(Float64Array.of(0.1, 0.4, 0.8));
    sweep.forEach([places, places, places], () => seen++);
    expect(seen).toBe(0);
  });
});
