import { expect, test } from 'vitest';
import { tapeTicks } from '../../web/parts/tape-ticks';

test('ticks in sight of 1000 rpm, 100 wide, every 10, are those from 950 to 1050', () => {
  const ticks = tapeTicks(1000, 100, 10);
  expect(ticks.map(({ at }) => at)).toEqual([950, 960, 970, 980, 990, 1000, 1010, 1020, 1030, 1040, 1050]);
  expect(ticks.filter(({ long }) => long).map(({ at }) => at)).toEqual([950, 1000, 1050]);
});
test('ticks stay on their places while the middle moves', () =>
  expect(tapeTicks(1003, 20, 10).map(({ at }) => at)).toEqual([1000, 1010]));
test('below zero every fifth tick is long too', () =>
  expect(
    tapeTicks(-10, 20, 2)
      .filter(({ long }) => long)
      .map(({ at }) => at + 0),
  ).toEqual([-20, -10, 0]));
test('a strip without a tick in sight has none', () => expect(tapeTicks(5, 2, 10)).toEqual([]));
test('a tape without width or ticks is refused', () => {
  expect(() => tapeTicks(0, 0, 10)).toThrow(RangeError);
  expect(() => tapeTicks(0, 100, 0)).toThrow(RangeError);
  expect(() => tapeTicks(0, 1e9, 1)).toThrow(RangeError);
});
