/** Dwell from where points close: degrees and per cent by hand. */
import { expect, test } from 'vitest';
import { dwellSeen } from '../../core/decode-dwell';

const place = {
  share: 1 / 3,
  shareSd: 0.002,
  scatter: 0.01,
  intervals: 300,
  height: 0.2,
  afterS: 3e-3,
  clearness: 12,
};

// Common practice: eight lobes are 45 degrees apart; points that stay open for a third of that are closed for 30.
test('closing a third of the way on, eight cylinders have 30 degrees, two thirds of the interval', () => {
  const { dwell, reason } = dwellSeen({ place, reason: null, intervals: 300 }, 8)!;
  expect(reason).toBeNull();
  expect(dwell!.deg).toBeCloseTo(30, 9);
  expect(dwell!.percent).toBeCloseTo(66.6667, 3);
  expect(dwell!.degSd).toBeCloseTo(0.09, 9); // 0.002 of 45
  expect(dwell!.percentSd).toBeCloseTo(0.2, 9);
  expect(dwell!.scatterDeg).toBeCloseTo(0.45, 9);
  expect(dwellSeen({ place, reason: null, intervals: 300 }, 4)!.dwell!.deg).toBeCloseTo(60, 9);
});
test('a reason is handed on, and nothing is said where nothing is looked for', () => {
  const none = { place: null, reason: 'not seen', intervals: 300 } as const;
  expect(dwellSeen(none, 8)).toEqual({ dwell: null, reason: 'not seen' });
  expect(dwellSeen(null, 8)).toBeNull();
});
test('wants a number of cylinders that can be', () => {
  expect(() => dwellSeen({ place, reason: null, intervals: 300 }, 0)).toThrow(RangeError);
});
