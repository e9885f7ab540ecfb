/** Angle and delay of a crank sensor from strobe readings whose truth is made by hand. */
import { expect, test } from 'vitest';
import { calibrate, EYE_SD_DEG } from '../../../core/sensor/calibrate';
import { createRandom } from '../../../dsp/maker/random';

const guess = { angleDeg: 60, delayUs: 0 };
/** What would be measured with the guess where the truth is 64 degrees and 80 microseconds. */
const measured = (rpm: number, seenDeg: number): number => seenDeg - 4 + 6 * rpm * 80e-6;

test('two readings give angle and delay', () => {
  const found = calibrate(
    [
      { rpm: 900, seenDeg: 12, measuredDeg: measured(900, 12) },
      { rpm: 3600, seenDeg: 34, measuredDeg: measured(3600, 34) },
    ],
    guess,
  )!;
  expect(found.angleDeg.value).toBeCloseTo(64, 6);
  expect(found.delayUs!.value).toBeCloseTo(80, 6);
  // Two readings of one degree's goodness, 2700 rpm apart: sd of the delay 1e6/6 · 0.7 √2 / 2700 µs (arithmetic).
  const sdUs = ((1e6 / 6) * EYE_SD_DEG * Math.SQRT2) / 2700;
  expect(found.delayUs!.high - found.delayUs!.value).toBeCloseTo(1.96 * sdUs, 3);
});

test('one speed gives the angle and leaves the delay as it was taken', () => {
  const found = calibrate([{ rpm: 900, seenDeg: 12, measuredDeg: 9 }], guess)!;
  expect(found.angleDeg.value).toBeCloseTo(63, 9);
  expect(found.angleDeg.high - found.angleDeg.value).toBeCloseTo(1.96 * EYE_SD_DEG, 9);
  expect(found.delayUs).toBeNull();
  expect(calibrate([], guess)).toBeNull();
});

test('its intervals hold the truth in 95 of 100', () => {
  const random = createRandom(9, 1);
  let [angles, delays] = [0, 0];
  const TRIALS = 1000;
  for (let trial = 0; trial < TRIALS; trial++) {
    const readings = [800, 1500, 2200, 2900, 3600].map((rpm) => {
      const seenDeg = 10 + rpm / 200;
      return { rpm, seenDeg: seenDeg + EYE_SD_DEG * random.normal(), measuredDeg: measured(rpm, seenDeg) };
    });
    const { angleDeg, delayUs } = calibrate(readings, guess)!;
    if (angleDeg.low <= 64 && 64 <= angleDeg.high) angles++;
    if (delayUs!.low <= 80 && 80 <= delayUs!.high) delays++;
  }
  for (const held of [angles, delays]) {
    expect(held / TRIALS).toBeGreaterThan(0.93);
    expect(held / TRIALS).toBeLessThan(0.99); // never narrower than the eye: a little too wide at times
  }
});
