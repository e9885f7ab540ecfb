/** Linear least squares, and a library that stands beside it, against NIST's certified values.
 * NIST Statistical Reference Datasets, itl.nist.gov/div898/strd: the values stand in each file's own header. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { linearRegression, rSquared } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { leastSquares } from '../../core/curve/least-squares';
import { describeSharedData } from '../helpers/shared-data';

/** The rows of figures after the header's 60 lines. */
const rowsOf = (folder: string, file: string): number[][] =>
  readFileSync(join(folder, file), 'utf8')
    .split('\n')
    .slice(60)
    .map((line) => line.trim().split(/\s+/).map(Number))
    .filter((row) => row.length > 1 && row.every(Number.isFinite));

/** Correct digits: the common logarithm of one over the relative error. */
const digits = (found: number, certified: number): number =>
  -Math.log10(Math.abs(found / certified - 1) + 1e-16);

const NORRIS = {
  coefficients: [-0.262323073774029, 1.00211681802045],
  errors: [0.232818234301152, 0.429796848199937e-3],
};
const LONGLEY = {
  coefficients: [
    -3482258.63459582, 15.0618722713733, -0.035819179292591, -2.02022980381683, -1.03322686717359,
    -0.0511041056535807, 1829.15146461355,
  ],
  firstError: 890420.383607373,
};

describeSharedData('NIST certified linear regression', 'numeric', (folder) => {
  test('Norris to 11 digits, errors and scatter too: what rounding leaves in a good triangle', () => {
    const rows = rowsOf(folder, 'Norris.dat');
    expect(rows).toHaveLength(36);
    const fit = leastSquares(
      [rows.map(() => 1), rows.map((row) => row[1]!)],
      rows.map((row) => row[0]!),
    )!;
    fit.coefficients.forEach((value, k) =>
      expect(digits(value, NORRIS.coefficients[k]!)).toBeGreaterThan(11),
    );
    fit.standardErrors!.forEach((value, k) => expect(digits(value, NORRIS.errors[k]!)).toBeGreaterThan(11));
    expect(digits(Math.sqrt(fit.sse / fit.freedom), 0.884796396144373)).toBeGreaterThan(11);
  });

  test('Longley, whose columns nearly depend on each other, to 9 digits', () => {
    const rows = rowsOf(folder, 'Longley.dat');
    expect(rows).toHaveLength(16);
    const columns = [rows.map(() => 1), ...[1, 2, 3, 4, 5, 6].map((k) => rows.map((row) => row[k]!))];
    const fit = leastSquares(
      columns,
      rows.map((row) => row[0]!),
    )!;
    fit.coefficients.forEach((value, k) =>
      expect(digits(value, LONGLEY.coefficients[k]!)).toBeGreaterThan(9),
    );
    expect(digits(fit.standardErrors![0]!, LONGLEY.firstError)).toBeGreaterThan(9);
    expect(digits(Math.sqrt(fit.sse / fit.freedom), 304.854073561965)).toBeGreaterThan(9);
  });

  test('an independent library gives the same line through Norris', () => {
    const points = rowsOf(folder, 'Norris.dat').map(([y, x]) => [x!, y!]);
    const line = linearRegression(points);
    expect(digits(line.m, NORRIS.coefficients[1]!)).toBeGreaterThan(8);
    expect(rSquared(points, (x) => line.m * x + line.b)).toBeCloseTo(0.999993745883712, 10);
  });
});

describe('linear least squares refuses', () => {
  test('columns of unequal length, and more columns than rows', () => {
    expect(() => leastSquares([[1, 1], [1]], [1, 2])).toThrow(RangeError);
    expect(() => leastSquares([[1], [2]], [1])).toThrow(RangeError);
  });
  test('columns that depend on each other: null, not a guess', () => {
    expect(
      leastSquares(
        [
          [1, 2, 3],
          [2, 4, 6],
        ],
        [1, 2, 3],
      ),
    ).toBeNull();
  });
});
