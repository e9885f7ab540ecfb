import { expect, test } from 'vitest';
import { closeRanges, curveAt, curveAtWords } from '../../web/plot/curve-at';
import { rangesOf, type Picture } from '../../web/plot/picture';
import { scaled, within } from '../../web/plot/stretch';
import { clockText, rowAt, traceAtWords } from '../../web/plot/trace-at';
import { stretchColumns } from '../../web/plot/trace-columns';

const WHOLE = [500, 4500] as const;

test('a step closer keeps the point looked at where it stands, and the middle where none is looked at', () => {
  // 1500 stands a quarter of the way along, before and after
  expect(scaled({ whole: WHOLE, shown: null, about: 1500, least: 200 }, 0.5)).toEqual([1000, 3000]);
  expect(scaled({ whole: WHOLE, shown: null, about: null, least: 200 }, 0.5)).toEqual([1500, 3500]);
});

test('nothing is shown beyond the whole, and as wide as the whole is the whole', () => {
  expect(scaled({ whole: WHOLE, shown: [500, 1500], about: 1500, least: 200 }, 2)).toEqual([500, 2500]);
  expect(scaled({ whole: WHOLE, shown: [1000, 3000], about: null, least: 200 }, 2)).toBeNull();
  expect(within(WHOLE, [4300, 5300], 200)).toEqual([3500, 4500]);
});

test('no closer than the narrowest that makes sense', () => {
  expect(scaled({ whole: WHOLE, shown: [1000, 1200], about: 1100, least: 200 }, 0.5)).toEqual([1000, 1200]);
});

const PICTURE: Picture = {
  readings: [{ id: 'a', rpm: 2010, rpmSd: 4, advanceDeg: 25.5, moved: false, slip: false }],
  curve: { rpm: [1000, 3000], advanceDeg: [12, 36], low: [11, 35.5], high: [13, 36.5] },
  corners: [],
  target: { corners: [{ rpm: 1000, advanceDeg: 10 }, { rpm: 2800, advanceDeg: 34 }], bandDeg: 2 }, // prettier-ignore
  spanRpm: [500, 4000],
};

test('the point looked at tells curve, band, target and the reading beside it', () => {
  // half way along the curve: 24, 23.25 and 24.75; the target has risen 24 by 1000 of 1800 rpm: 23.3 (hand arithmetic)
  expect(curveAtWords(curveAt(PICTURE, 2000, 50))).toBe(
    '2000 rpm: curve 24.0° (23.3 to 24.8°) · target 23.3° ± 2.0° · read 25.5° at 2010',
  );
});

test('where the curve is not known the words say so, and no reading is told from afar', () => {
  expect(curveAtWords(curveAt({ ...PICTURE, target: null }, 3500, 50))).toBe('3500 rpm: curve not seen here');
});

test('a stretch looked at has its own ground: what lies in it and at least six degrees', () => {
  const whole = rangesOf(PICTURE);
  const close = closeRanges(PICTURE, whole, [3000, 3200]);
  expect(close.rpm).toEqual([3000, 3200]);
  // in it: the curve's end, 35.5 to 36.5, and the target with its band, 32 to 36
  expect(close.deg[0]).toBeLessThanOrEqual(32);
  expect(close.deg[1]).toBeGreaterThanOrEqual(36.5);
  expect(close.deg[1] - close.deg[0]).toBeGreaterThanOrEqual(6);
  expect(closeRanges({ ...PICTURE, curve: null, target: null }, whole, [3000, 3200]).deg).toEqual(whole.deg);
});

const trace = {
  timeS: Float64Array.of(10, 10.1, 10.2, 10.3, 10.4),
  rpm: Float64Array.of(900, 910, NaN, 930, 940),
  rpmSd: Float64Array.of(2, 2, NaN, NaN, 12),
};

test('a moment has the row up to it; before the first there is none', () => {
  expect([9.9, 10, 10.15, 99].map((atS) => rowAt(trace, atS))).toEqual([-1, 0, 1, 4]);
  expect(traceAtWords(trace, 10.15)).toBe('0:10.2 min: 910 rpm ± 2.0 rpm');
  expect(traceAtWords(trace, 10.2)).toBe('0:10.2 min: no speed here');
  expect(traceAtWords(trace, 10.35)).toBe('0:10.4 min: 930 rpm');
  expect(traceAtWords(trace, 3)).toBe('0:03.0 min: no speed here');
});

test('seconds stand as on a clock', () => {
  expect([0, 59.96, 67.3, 3600].map(clockText)).toEqual(['0:00.0', '1:00.0', '1:07.3', '60:00.0']);
});

test('a stretch of the trace is drawn with a row beyond each end', () => {
  expect(stretchColumns(trace, [10.05, 10.25], 100).timeS).toEqual([10, 10.1, 10.2, 10.3]);
});
