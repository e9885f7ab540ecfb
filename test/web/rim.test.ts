import { expect, test } from 'vitest';
import { rimMarks, rimX } from '../../web/practice/rim';

test('the mark under the pointer stands in the middle; more advance has yet to come and stands to the left', () => {
  expect(rimX(17.5, 17.5, 400, 12)).toBeCloseTo(200, 9);
  expect(rimX(20, 17.5, 400, 12)).toBeLessThan(200);
});

test('every whole degree in sight has a mark, and top dead centre its own', () => {
  const marks = rimMarks(3.4, 400, 12);
  expect(marks.map(({ deg }) => deg)).toEqual(Array.from({ length: 24 }, (_, i) => i - 8));
  expect(marks.find(({ deg }) => deg === 0)?.kind).toBe('top');
  expect(marks.find(({ deg }) => deg === 10)?.kind).toBe('ten');
  expect(marks.find(({ deg }) => deg === -5)?.kind).toBe('five');
});

test('the rim bends away: degrees at the side stand closer than in the middle', () => {
  const [middle, side] = [
    rimX(0, 0, 400, 12) - rimX(1, 0, 400, 12),
    rimX(11, 0, 400, 12) - rimX(12, 0, 400, 12),
  ];
  expect(side).toBeLessThan(0.7 * middle);
});
