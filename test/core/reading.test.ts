/** A pinned moment's speed, and the advance of what was seen. */
import { describe, expect, test } from 'vitest';
import { advanceOf, curvePoints, pinSpeed, seenFor } from '../../core/reading';
import { BY_LIGHT } from '../../core/new-job';
import { createRandom } from '../../dsp/maker/random';

const NONE = { tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 0 };
const times = (count: number, everyS: number): number[] =>
  Array.from({ length: count }, (_, i) => i * everyS);

describe('the advance of a reading', () => {
  test('is what was seen less the tape error, more what passed in the delay: 20 - 1.5 + 6·2000·50e-6', () => {
    expect(
      advanceOf({ rpm: 2000, seenDeg: 20 }, { tapeZeroErrorDeg: 1.5, tapeZeroSdDeg: null, lightDelayUs: 50 }),
    ).toBeCloseTo(19.1, 10);
    expect(advanceOf({ rpm: 2000, seenDeg: 20 }, NONE)).toBe(20);
  });
  test('gives back what is seen', () => {
    const corrections = { tapeZeroErrorDeg: -0.7, tapeZeroSdDeg: null, lightDelayUs: 35 };
    expect(seenFor(advanceOf({ rpm: 3210, seenDeg: 31 }, corrections), 3210, corrections)).toBeCloseTo(
      31,
      10,
    );
  });
  test('of each reading of a run, in order, with its spread of speed, makes the points to fit', () => {
    const reading = {
      id: 'a',
      at: '',
      timeS: null,
      steady: null,
      stepRpm: null,
      note: '',
      ...BY_LIGHT,
      rpm: 1000,
      seenDeg: 12,
    };
    const readings = [
      { ...reading, rpmSd: null },
      { ...reading, rpm: 2000, seenDeg: 22, rpmSd: 9 },
    ];
    expect(
      curvePoints({ readings, corrections: { tapeZeroErrorDeg: 2, tapeZeroSdDeg: null, lightDelayUs: 0 } }),
    ).toEqual([
      { rpm: 1000, advanceDeg: 10, rpmSd: null },
      { rpm: 2000, advanceDeg: 20, rpmSd: 9 },
    ]);
  });
});

test('readings by the light that were all noted to half a degree say so, those of a sensor do not', () => {
  const light = [8, 8.5, 9, 12.5, 24].map((seenDeg, i) => ({
    ...{ id: `${i}`, at: '', timeS: null, steady: null, stepRpm: null, note: '', rpmSd: null },
    ...BY_LIGHT,
    ...{ seenDeg, rpm: 1000 + 500 * i },
  }));
  const points = curvePoints({
    readings: [...light, { ...light[0]!, by: 'crank sensor' as const, seenDeg: 8.13 }],
    corrections: { ...NONE, tapeZeroErrorDeg: 1.3 },
  });
  expect(points.map(({ roundDeg }) => roundDeg)).toEqual([0.5, 0.5, 0.5, 0.5, 0.5, undefined]);
});

describe('the speed at a pinned moment', () => {
  test('is the mean of the stretch, and one wild speed does not move it', () => {
    const rpm = [1500, 1502, 1498, 1501, 1499, 2900, 1500, 1501];
    const pinned = pinSpeed({ timeS: times(8, 0.08), rpm }, 0, 1)!;
    expect(Math.abs(pinned.rpm - 1500.2)).toBeLessThan(1);
    expect(pinned.rpmSd!).toBeLessThan(5);
    expect(pinned.steady).toBe(true);
  });
  test('takes only the stretch asked for and passes over gaps', () => {
    const trace = { timeS: [0, 1, 2, 3, 4], rpm: [800, null, 1000, NaN, 5000] };
    expect(pinSpeed(trace, 1, 3)).toEqual({ rpm: 1000, rpmSd: null, steady: true });
    expect(pinSpeed(trace, 1, 1.5)).toBeNull();
  });
  test('that drifts by 5 % over the stretch is not steady', () => {
    const timeS = times(20, 0.1);
    expect(pinSpeed({ timeS, rpm: timeS.map((t) => 2000 + 50 * t) }, 0, 2)!.steady).toBe(false);
  });
  test('of an idle that is uneven by 5 % from cycle to cycle but goes nowhere is steady in 95 of 100', () => {
    const random = createRandom(7);
    const steady = Array.from({ length: 100 }, () => {
      const rpm = times(14, 0.14).map(() => 850 * (1 + 0.05 * random.normal()));
      return pinSpeed({ timeS: times(14, 0.14), rpm }, 0, 2)!.steady;
    });
    expect(steady.filter(Boolean).length).toBeGreaterThanOrEqual(95);
  });
  test('needs columns of one length and a stretch that does not run backwards', () => {
    expect(() => pinSpeed({ timeS: [0, 1], rpm: [800] }, 0, 1)).toThrow(/columns of one length/);
    expect(() => pinSpeed({ timeS: [0], rpm: [800] }, 1, 0)).toThrow(/ends after/);
  });
});
