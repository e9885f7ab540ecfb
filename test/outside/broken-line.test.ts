/** Broken lines against the published answers of another program, and against the exact least squares of the same
 * data worked out elsewhere.
 * Data: chasmani/piecewise-regression, tests/data/data.txt (MIT). Answers of R's `segmented`: its tests/test_fit.py.
 * Exact least squares: numpy/scipy on the same data. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { brokenLine, type Estimate } from '../../core/curve/broken-line';
import { describeSharedData } from '../helpers/shared-data';

function column(path: string, name: string): number[] {
  const found = new RegExp(`${name}\\s*=\\s*\\[([^\\]]*)\\]`).exec(readFileSync(path, 'utf8'));
  if (!found) throw new Error(`no list ${name} in ${path}`);
  return found[1]!.split(',').map(Number);
}

const within = (found: number, published: number, share: number): void =>
  expect(Math.abs(found / published - 1)).toBeLessThan(share);
const error = (estimate: Estimate | null): number => estimate!.standardError!;

describeSharedData('published broken lines', 'numeric/broken_line_sets.txt', (path) => {
  test('two corners in 200 points: R stops slightly short of the optimum, so 0.1 % on places, 5 % on errors', () => {
    const line = brokenLine(column(path, 'MUGGEO_1_XX'), column(path, 'MUGGEO_1_YY'), 2)!;
    within(line.corners[0]!.value, 7.152, 1e-3);
    within(line.corners[1]!.value, 12.161, 1e-3);
    within(line.intercept.value, 100.64655, 1e-3);
    within(line.firstSlope!.value, -4.18526, 1e-3);
    within(line.slopeChanges[0]!.value, -3.65462, 1e-3);
    within(line.slopeChanges[1]!.value, 3.81336, 1e-3);
    within(error(line.corners[0]!), 0.101, 0.05);
    within(error(line.corners[1]!), 0.095, 0.05);
    within(error(line.intercept), 0.23081, 0.05);
    within(error(line.firstSlope), 0.05583, 0.05);
    within(error(line.slopeChanges[0]!), 0.11405, 0.05);
    expect(line.sse).toBeLessThan(190.02); // R's own, to its printed digits
  });

  test('the same data reach the exact least squares to seven digits', () => {
    const line = brokenLine(column(path, 'MUGGEO_1_XX'), column(path, 'MUGGEO_1_YY'), 2)!;
    within(line.sse, 189.925392, 1e-8);
    within(line.corners[0]!.value, 7.15209187, 1e-6);
    within(line.corners[1]!.value, 12.16080402, 1e-6);
    within(line.intercept.value, 100.64668016, 1e-7);
    within(line.firstSlope!.value, -4.1853162, 1e-6);
    within(line.slopeChanges[0]!.value, -3.65478467, 1e-6);
    within(line.slopeChanges[1]!.value, 3.81353863, 1e-6);
    within(error(line.corners[0]!), 0.1, 1e-3);
    within(error(line.corners[1]!), 0.0935, 1e-3);
  });

  test('one corner in 40 points agrees with R to all printed digits', () => {
    const line = brokenLine(column(path, 'MUGGEO_2_XX'), column(path, 'MUGGEO_2_YY'), 1)!;
    expect(line.sse).toBeCloseTo(34.70127, 4);
    expect(line.intercept.value).toBeCloseTo(4.86206, 5);
    expect(line.firstSlope!.value).toBeCloseTo(0.94472, 5);
    expect(line.slopeChanges[0]!.value).toBeCloseTo(1.95719, 5);
    expect(line.corners[0]!.value).toBeCloseTo(1.608, 3);
    expect(error(line.intercept)).toBeCloseTo(0.3102, 5);
    expect(error(line.firstSlope)).toBeCloseTo(0.06744, 5);
    expect(error(line.slopeChanges[0]!)).toBeCloseTo(0.11008, 5);
    expect(error(line.corners[0]!)).toBeCloseTo(0.291, 3);
  });
});
