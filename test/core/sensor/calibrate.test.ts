/** Angle and delay of a crank sensor from strobe readings whose truth is made by hand. */
import { describe, expect, test } from 'vitest';
import { calibrate, EYE_SD_DEG } from '../../../core/sensor/calibrate';
import { createRandom } from '../../../dsp/maker/random';

/** Student's t, 97.5 %, 12 degrees of freedom (printed tables: 2.179). */
const T_12 = 2.1788;

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
  expect((found.delayUs!.high - found.delayUs!.value) / sdUs).toBeCloseTo(T_12, 3);
});

test('one speed gives the angle and leaves the delay as it was taken', () => {
  const found = calibrate([{ rpm: 900, seenDeg: 12, measuredDeg: 9 }], guess)!;
  expect(found.angleDeg.value).toBeCloseTo(63, 9);
  expect(found.angleDeg.high - found.angleDeg.value).toBeCloseTo(T_12 * EYE_SD_DEG, 3);
  expect(found.delayUs).toBeNull();
  expect(calibrate([], guess)).toBeNull();
});

/** How far a person's eye differs from the usual one: the standard deviation of its logarithm. */
const EYES_DIFFER = 0.25;
const TRIALS = 1000;

describe.each([
  ['two speeds, once each', [900, 3600]],
  ['two speeds, twice each', [900, 900, 3600, 3600]],
  ['two speeds, thrice each', [1000, 1000, 1000, 2500, 2500, 2500]],
  ['two speeds near each other', [1000, 1000, 1500, 1500]],
  ['five speeds', [800, 1500, 2200, 2900, 3600]],
])('angle and delay by readings at %s', (_, speeds) => {
  /** Of a thousand people, whose intervals hold the angle, and whose the delay. */
  function held(eyeSd: (normal: number) => number, seed: number): { angle: number; delay: number } {
    const random = createRandom(seed, 1);
    let [angles, delays] = [0, 0];
    for (let trial = 0; trial < TRIALS; trial++) {
      const sd = eyeSd(random.normal());
      const readings = speeds.map((rpm) => {
        const seenDeg = 10 + rpm / 200;
        return { rpm, seenDeg: seenDeg + sd * random.normal(), measuredDeg: measured(rpm, seenDeg) };
      });
      const { angleDeg, delayUs } = calibrate(readings, guess)!;
      if (angleDeg.low <= 64 && 64 <= angleDeg.high) angles++;
      if (delayUs!.low <= 80 && 80 <= delayUs!.high) delays++;
    }
    return { angle: angles / TRIALS, delay: delays / TRIALS };
  }

  // 0.95 of 1000 has a standard deviation of 0.007
  test('its intervals hold the truth in 95 of 100 where eyes differ', () => {
    const { angle, delay } = held((normal) => EYE_SD_DEG * Math.exp(EYES_DIFFER * normal), 9);
    for (const share of [angle, delay]) {
      expect(share).toBeGreaterThan(0.93);
      expect(share).toBeLessThan(0.97);
    }
  });

  test('an eye that is just as good as most is held a little more often', () => {
    const { angle, delay } = held(() => EYE_SD_DEG, 10);
    for (const share of [angle, delay]) {
      expect(share).toBeGreaterThan(0.94);
      expect(share).toBeLessThan(0.985);
    }
  });
});
