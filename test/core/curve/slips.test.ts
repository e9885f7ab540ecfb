/** Which readings stand out, on rows by hand. */
import { expect, test } from 'vitest';
import { findSlips } from '../../../core/curve/slips';
import { madeReadingSet } from '../../helpers/reading-sets';

const curve = (rpm: number): number => 12 + Math.min(20, Math.max(0, (rpm - 1000) / 100));
const SCATTER = [0.4, -0.6, 0.2, 0.5, -0.3, -0.5, 0.7];
function readings(change: Readonly<Record<number, number>>, count = 18) {
  const rpm = Float64Array.from({ length: count }, (_, i) => 500 + 200 * i);
  const advanceDeg = rpm.map((speed, i) => curve(speed) + SCATTER[i % 7]! + (change[i] ?? 0));
  return { rpm, advanceDeg, weight: rpm.map(() => 1) };
}

test('good readings are all kept', () => expect(findSlips(readings({}))).toEqual([]));
test('two slips of one sign, the first of which the second helps to hide, are both found', () =>
  expect(findSlips(readings({ 3: 9, 9: 9 }))).toEqual([3, 9]));
test('slips of opposite signs are found', () =>
  expect(findSlips(readings({ 2: 8, 11: -8 }))).toEqual([2, 11]));
test('a reading three degrees off is no slip: light and eye can do that', () =>
  expect(findSlips(readings({ 8: 3 }))).toEqual([]));
test('fewer than seven readings are not judged', () => expect(findSlips(readings({ 2: 30 }, 6))).toEqual([]));

test('at most one good set in fifty loses a reading', () => {
  let lost = 0;
  for (let seed = 9001; seed <= 9200; seed++) {
    const rows = [...madeReadingSet(seed).readings].sort((a, b) => a.rpm - b.rpm);
    const column = (of: (row: (typeof rows)[number]) => number) => Float64Array.from(rows, of);
    const set = {
      rpm: column((r) => r.rpm),
      advanceDeg: column((r) => r.advanceDeg),
      weight: column(() => 1),
    };
    if (findSlips(set).length > 0) lost++;
  }
  expect(lost).toBeLessThanOrEqual(4);
});
