import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decimate, firstAt } from '../../web/plot/decimate';

const columnsOf = (values: number[], sd = 0) => ({
  timeS: values.map((_, i) => i),
  value: values,
  sd: values.map(() => sd),
});

test('firstAt finds the first row at or after a time, and the length when all are before it', () => {
  expect(firstAt([0, 1, 1, 2], 1)).toBe(1);
  expect(firstAt([0, 1, 1, 2], -5)).toBe(0);
  expect(firstAt([0, 1, 1, 2], 3)).toBe(4);
  expect(firstAt([], 3)).toBe(0);
});

test('few rows are drawn as they are, a gap as null, the band two deviations to each side', () => {
  const drawn = decimate({ timeS: [0, 1, 2], value: [900, NaN, 910], sd: [5, NaN, 0] }, 0, 3, 100);
  expect(drawn).toEqual({
    timeS: [0, 1, 2],
    value: [900, null, 910],
    low: [890, null, 910],
    high: [910, null, 910],
  });
});

test('one spike among a hundred thousand rows is still drawn', () => {
  const values = Array.from({ length: 100_000 }, () => 1000);
  values[54_321] = 4444;
  const drawn = decimate(columnsOf(values), 0, values.length, 300);
  expect(drawn.value.length).toBeLessThan(700);
  expect(drawn.value).toContain(4444);
  expect(drawn.timeS[drawn.value.indexOf(4444)]).toBe(54_321);
});

test('a single missing row among many stays a gap', () => {
  const values = Array.from({ length: 20_000 }, (_, i) => 1000 + (i % 7));
  values[9_999] = NaN;
  expect(decimate(columnsOf(values), 0, values.length, 200).value.filter((v) => v === null)).toHaveLength(1);
});

test('an empty stretch draws nothing; less than one bucket is refused', () => {
  expect(decimate(columnsOf([1, 2]), 1, 1, 10).timeS).toEqual([]);
  expect(() => decimate(columnsOf([1, 2]), 0, 2, 0)).toThrow(RangeError);
});

test('whatever the columns, the extremes are kept, time never runs back, no more than three points a bucket', () => {
  const value = fc.oneof(
    { weight: 9, arbitrary: fc.integer({ min: 300, max: 9000 }) },
    { weight: 1, arbitrary: fc.constant(NaN) },
  );
  fc.assert(
    fc.property(
      fc.array(value, { minLength: 1, maxLength: 400 }),
      fc.integer({ min: 1, max: 60 }),
      (values, buckets) => {
        const drawn = decimate(columnsOf(values), 0, values.length, buckets);
        const known = values.filter((v) => !Number.isNaN(v));
        const shown = drawn.value.filter((v) => v !== null);
        expect([...drawn.timeS].sort((a, b) => a - b)).toEqual(drawn.timeS);
        expect(drawn.timeS.length).toBeLessThanOrEqual(3 * buckets);
        if (known.length) {
          expect(Math.min(...shown)).toBe(Math.min(...known));
          expect(Math.max(...shown)).toBe(Math.max(...known));
        } else expect(shown).toEqual([]);
      },
    ),
    { seed: 5, numRuns: 300 },
  );
});
