import { expect, test } from 'vitest';
import { fitCurve } from '../../core/fit';
import { advanceOf } from '../../core/reading';
import { cornersOf, curveOf, idleWords, pictureOf, pictureWords } from '../../web/views/curve-picture';
import { EARLIER, JOB, RUN } from '../browser/harness/scenario';

const fitOf = (run: typeof RUN) =>
  fitCurve(
    run.readings.map((one) => ({
      rpm: one.rpm,
      advanceDeg: advanceOf(one, run.corrections),
      rpmSd: one.rpmSd,
    })),
  );

test('a picture holds every reading, marks what moved and what was set aside, and the whole curve in rising order', () => {
  const slipped = {
    ...RUN,
    readings: RUN.readings.map((one, i) => (i === 7 ? { ...one, seenDeg: one.seenDeg + 9 } : one)),
  };
  const picture = pictureOf(JOB, slipped, fitOf(slipped));
  expect(picture.readings.map(({ slip }) => slip).lastIndexOf(true)).toBe(7);
  expect(picture.readings.filter(({ moved }) => moved).map(({ rpm }) => rpm)).toEqual([2398]);
  const speeds = picture.curve!.rpm;
  expect([...speeds].sort((a, b) => a - b)).toEqual([...speeds]);
  expect(pictureWords(picture)).toContain(
    '1 set aside as a slip; 1 taken while the speed moved; corners: start',
  );
});

test('the band of the curve holds what the proof of top dead centre leaves open, in a run under way as in its result', () => {
  const proved = { ...RUN, corrections: { ...RUN.corrections, tapeZeroSdDeg: 0.5 } };
  const [plain, whole] = [
    pictureOf(JOB, RUN, fitOf(RUN)).curve!,
    pictureOf(JOB, proved, fitOf(proved)).curve!,
  ];
  expect(whole.advanceDeg).toEqual(plain.advanceDeg);
  for (const i of [0, Math.floor(plain.rpm.length / 2), plain.rpm.length - 1]) {
    const reachDeg = plain.high[i]! - plain.advanceDeg[i]!;
    // independent errors add by their squares: 1.96 · 0.5 = 0.98 degrees beside the readings' own
    expect(whole.high[i]! - whole.advanceDeg[i]!).toBeCloseTo(Math.hypot(reachDeg, 0.98), 2);
  }
});

test('without a fit there is no curve and no corner', () => {
  expect(curveOf(null, [500, 4000])).toBeNull();
  expect(cornersOf(null)).toEqual([]);
  expect(pictureOf(null, null, null).readings).toEqual([]);
});

test('a curve that is never all in shows no all-in corner', () => {
  const never = { ...EARLIER, readings: RUN.readings.slice(0, 9) };
  expect(cornersOf(fitOf(never)).map(({ name }) => name.split(' ')[0])).not.toContain('all-in');
});

test('idle above the start is said, idle below it is not', () => {
  const fit = fitOf(RUN); // starts near 1080 rpm
  expect(idleWords(fit, { idleRpm: 1300 })).toContain('lies above the start');
  expect(idleWords(fit, { idleRpm: 700 })).toBe('');
  expect(idleWords(fit, { idleRpm: null })).toBe('');
  expect(idleWords(null, { idleRpm: 1300 })).toBe('');
});
