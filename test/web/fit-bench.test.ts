/** A fit that was made in another thread is the fit that is made here, and its picture costs no second look. */
import { expect, test } from 'vitest';
import { fitCurve, fitOf } from '../../core/fit';
import { createRandom } from '../../dsp/maker/random';
import { FitBench } from '../../web/fit/fit-bench';
import { curveOf } from '../../web/views/curve-picture';

/** Level 10 to 1200 rpm, a degree for each 100 rpm, level 30 from 3200; scatter of half a degree. */
const readings = (count: number, rises = true) => {
  const random = createRandom(20261125, count);
  return Array.from({ length: count }, (_, i) => {
    const rpm = 700 + (3300 * i) / (count - 1);
    const trueDeg = rises ? 10 + Math.min(20, Math.max(0, (rpm - 1200) / 100)) : 10;
    return { rpm, advanceDeg: trueDeg + 0.5 * random.normal(), rpmSd: 8 };
  });
};
const SETS = { 'a whole curve': readings(16), 'one level': readings(6, false), 'two readings': readings(2) };

test.each(Object.entries(SETS))('%s says the same after its way from thread to thread', (_, points) => {
  const [here, there] = [fitCurve(points), fitOf(structuredClone(new FitBench().fit(points)))];
  expect(JSON.stringify(there)).toBe(JSON.stringify(here));
  for (let rpm = 400; rpm < 5000; rpm += 137.5) {
    expect(there.predict(rpm)).toBe(here.predict(rpm));
    expect(there.band(rpm)).toEqual(here.band(rpm));
    expect(there.rise(rpm, rpm + 500)).toEqual(here.rise(rpm, rpm + 500));
  }
});

test('the bands that its picture draws come with it', () => {
  const data = new FitBench().fit(SETS['a whole curve']);
  if (data.curve?.kind !== 'ramp') throw new Error('a ramp was wanted');
  const { bands } = data.curve;
  const known = bands.size;
  expect(curveOf(fitOf(data), [500, 4250])!.rpm.length).toBeGreaterThan(100);
  expect(bands.size).toBe(known);
});
