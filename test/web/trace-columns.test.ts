import { expect, test } from 'vitest';
import { traceColumns, traceRange, traceSentence } from '../../web/plot/trace-columns';

const traceOf = (seconds: number, perSecond: number, rpmAt: (timeS: number) => number) => {
  const timeS = Float64Array.from({ length: seconds * perSecond }, (_, i) => i / perSecond);
  return { timeS, rpm: timeS.map(rpmAt), rpmSd: timeS.map(() => 5) };
};

test('the last minute is cut out of a longer trace', () => {
  const drawn = traceColumns(
    traceOf(100, 4, () => 900),
    60,
    5000,
  );
  expect(drawn.timeS[0]).toBeCloseTo(39.75, 9);
  expect(traceRange(drawn, 60, null).timeS).toEqual([39.75, 99.75]);
});

test('half an hour of strikes is thinned to a few points a pixel', () => {
  const drawn = traceColumns(
    traceOf(1800, 200, (t) => 1000 + t),
    null,
    600,
  );
  expect(drawn.timeS.length).toBeLessThanOrEqual(1200);
  expect(drawn.value[0]).toBe(1000);
  expect(drawn.value.at(-1)).toBeCloseTo(2800, 1);
});

test('a short trace leaves room for what comes, and the step to hold is in view', () => {
  const range = traceRange(
    traceColumns(
      traceOf(5, 4, () => 900),
      60,
      400,
    ),
    60,
    2400,
  );
  expect(range.timeS).toEqual([0, 60]);
  expect(range.rpm[1]).toBeGreaterThan(2400);
});

test('an empty trace has a range and says that there is none yet', () => {
  const none = traceOf(0, 1, () => 0);
  expect(traceRange(traceColumns(none, 60, 300), 60, null).timeS).toEqual([0, 60]);
  expect(traceSentence(none, 60)).toBe('Speed over the last 60 seconds: none yet.');
});

test('the sentence gives the least and the greatest speed, gaps left out', () => {
  const trace = traceOf(10, 1, (t) => (t === 4 ? NaN : 900 + 10 * t));
  expect(traceSentence(trace, null)).toBe('Speed over the whole run: between 900 and 990 rpm.');
});
