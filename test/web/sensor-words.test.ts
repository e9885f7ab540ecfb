/** What the page says of a crank sensor's sparks: figures by hand. */
import { expect, test } from 'vitest';
import type { SparkBin } from '../../core/sensor/spark-bins';
import { BY_LIGHT } from '../../core/new-job';
import {
  calibrationSentence,
  comparisonsOf,
  loopSentence,
  markNow,
  scatterSentence,
} from '../../web/views/sensor/sensor-words';

const bin = (aboutRpm: number, sweep: 'up' | 'down', atMiddleDeg: number, scatterDeg = 0.3): SparkBin => ({
  ...{ aboutRpm, sweep, atMiddleDeg, scatterDeg, advanceDeg: atMiddleDeg, rpm: aboutRpm },
  ...{ sparks: 20, timeS: 1, rpmVariance: 100 },
});

test('the mark stands at the mean of the last sparks and wanders by their deviation', () => {
  expect(markNow([])).toBeNull();
  expect(markNow([10])).toBeNull();
  // 9, 10, 11: mean 10, standard deviation 1
  expect(markNow([9, 10, 11])).toEqual({ meanDeg: 10, sdDeg: 1 });
});

test('a loop between up and down is said with its figures, and only where both were run', () => {
  const speeds = [1000, 1500, 2000, 2500];
  const up = speeds.map((rpm) => bin(rpm, 'up', rpm / 100));
  expect(loopSentence(up)).toBeNull();
  const down = speeds.map((rpm, i) => bin(rpm, 'down', rpm / 100 + 1 + 0.02 * (i % 2)));
  expect(loopSentence([...up, ...down])).toMatch(
    /^On the way down there is 1\.0° \(1\.0 to 1\.0\) more advance/,
  );
  const same = speeds.map((rpm, i) => bin(rpm, 'down', rpm / 100 + (i % 2 ? 0.1 : -0.1)));
  expect(loopSentence([...up, ...same])).toMatch(/^Up and down agree/);
});

test('scatter is said at the speeds where it is least and most', () => {
  expect(scatterSentence([])).toBeNull();
  expect(scatterSentence([bin(1000, 'up', 10, 0.2), bin(2000, 'up', 20, 0.9)])).toMatch(
    /0\.20° about 1000 rpm at the least and 0\.90° about 2000 rpm at the most/,
  );
});

test('readings off the light stand beside what was measured at their speeds; those by the sensor do not', () => {
  const reading = {
    id: 'a',
    at: '',
    timeS: null,
    rpmSd: null,
    steady: null,
    stepRpm: null,
    note: '',
    ...BY_LIGHT,
  };
  const bins = [bin(1000, 'up', 10), bin(1000, 'down', 11), bin(3000, 'up', 30)];
  const readings = [
    { ...reading, rpm: 1010, seenDeg: 14 },
    { ...reading, rpm: 2000, seenDeg: 24 },
    { ...reading, rpm: 3000, seenDeg: 33, by: 'crank sensor' as const },
  ];
  expect(comparisonsOf(readings, bins, ({ seenDeg }) => seenDeg - 1)).toEqual([
    { rpm: 1010, seenDeg: 13, measuredDeg: 10.5 },
  ]);
});

test('angle and delay are said with what they are good to', () => {
  const angleDeg = { value: 62.04, low: 61.04, high: 63.04 };
  expect(calibrationSentence({ angleDeg, delayUs: { value: 81, low: 60, high: 102 } })).toBe(
    'The sensor stands 62.0° before TDC (give or take 1.0°) and is heard 81 µs late (give or take 21 µs).',
  );
  expect(calibrationSentence({ angleDeg, delayUs: null })).toMatch(/Its delay is not seen yet/);
});
