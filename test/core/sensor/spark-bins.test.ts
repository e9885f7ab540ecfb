/** Sparks gathered by speed and way: a made engine whose weights stick by a known angle. */
import { expect, test } from 'vitest';
import { binReading, sparkBins, sweepLoop, type SparkAdvance } from '../../../core/sensor/spark-bins';
import { createRandom } from '../../../dsp/maker/random';

/** Up and down again between 1000 and 4000 rpm; the way down stands `loopDeg` above the way up. */
function sweeps(loopDeg: number, scatterDeg: number): SparkAdvance[] {
  const random = createRandom(3, 1);
  return Array.from({ length: 2400 }, (_, i) => {
    const timeS = i / 40;
    const isUp = timeS < 30;
    const rpm = 1000 + 100 * (isUp ? timeS : 60 - timeS);
    const advanceDeg = 8 + rpm / 200 + (isUp ? 0 : loopDeg) + scatterDeg * random.normal();
    return { timeS, rpm, advanceDeg, sdDeg: 0 };
  });
}

test('each bin has the mean, the scatter and the count of its sparks, up and down apart', () => {
  const bins = sparkBins(sweeps(1, 0.25), 250);
  const up = bins.filter(({ sweep }) => sweep === 'up');
  const down = bins.filter(({ sweep }) => sweep === 'down');
  expect(up.length).toBeGreaterThan(11);
  for (const [list, above] of [
    [up, 0],
    [down, 1],
  ] as const)
    for (const bin of list.filter(({ sparks }) => sparks > 60)) {
      expect(Math.abs(bin.advanceDeg - (8 + bin.rpm / 200 + above))).toBeLessThan(0.12); // 0.25 / √n, thrice
      expect(Math.abs(bin.atMiddleDeg - (8 + bin.aboutRpm / 200 + above))).toBeLessThan(0.2);
    }
  const scatter = up.reduce((sum, bin) => sum + bin.scatterDeg!, 0) / up.length;
  expect(Math.abs(scatter / 0.25 - 1)).toBeLessThan(0.05);
});

test('what measuring adds is taken out of the scatter', () => {
  // Own scatter 0.25, measuring 0.15: seen together they are 0.29.
  const random = createRandom(4, 1);
  const sdDeg = 0.15;
  const seen = sweeps(0, 0.25).map((spark) => ({
    ...spark,
    sdDeg,
    advanceDeg: spark.advanceDeg + sdDeg * random.normal(),
  }));
  const bins = sparkBins(seen, 250).filter(({ sparks }) => sparks > 60);
  const scatter = bins.reduce((sum, bin) => sum + bin.scatterDeg!, 0) / bins.length;
  expect(Math.abs(scatter / 0.25 - 1)).toBeLessThan(0.05);
  const quiet = sparkBins(
    seen.map((spark) => ({ ...spark, sdDeg: 1 })),
    250,
  );
  for (const { scatterDeg } of quiet) expect(scatterDeg).toBe(0); // less than measuring alone would show
});

test('a loop is told with its interval, and none where there is none', () => {
  const loop = sweepLoop(sparkBins(sweeps(1, 0.25), 250))!;
  expect(loop.low).toBeGreaterThan(0.9);
  expect(loop.high).toBeLessThan(1.1);
  const none = sweepLoop(sparkBins(sweeps(0, 0.25), 250))!;
  expect(none.low).toBeLessThan(0);
  expect(none.high).toBeGreaterThan(0);
  expect(sweepLoop(sparkBins(sweeps(1, 0.25).slice(0, 1200), 250))).toBeNull();
});

test('a held speed is no sweep, and becomes a steady reading', () => {
  const held = Array.from({ length: 100 }, (_, i) => ({
    timeS: i / 20,
    rpm: 1500,
    advanceDeg: 15 + (i % 2),
    sdDeg: 0,
  }));
  const [bin] = sparkBins(held, 250);
  expect(bin).toMatchObject({ sweep: null, sparks: 100, advanceDeg: 15.5, aboutRpm: 1500 });
  expect(binReading(bin!, 'a', '2026-05-01T18:00:00.000Z')).toMatchObject({
    ...{
      by: 'crank sensor',
      steady: true,
      sparks: 100,
      sweep: null,
      seenDeg: 15.5,
      rpm: 1500,
      stepRpm: 1500,
    },
    at: '2026-05-01T18:00:02.475Z',
  });
  expect(() => sparkBins(held, 0)).toThrow(RangeError);
});
