/** The speeds to hold, by hand arithmetic. */
import { describe, expect, test } from 'vitest';
import { belongsTo, nextStep, openSteps, stepSpeeds, stepsProblem } from '../../core/steps';

const LIST = { startRpm: 800, endRpm: 2000, spacingRpm: 400 };
const at = (rpm: number, stepRpm: number | null = null) => ({ rpm, stepRpm });

describe('the speeds of a step list', () => {
  test('run from start to end, the end among them where the spacing meets it', () => {
    expect(stepSpeeds(LIST)).toEqual([800, 1200, 1600, 2000]);
    expect(stepSpeeds({ ...LIST, endRpm: 1900 })).toEqual([800, 1200, 1600]);
  });
  test('fall where the end lies below the start, and are one where both are the same', () => {
    expect(stepSpeeds({ startRpm: 3000, endRpm: 2000, spacingRpm: 500 })).toEqual([3000, 2500, 2000]);
    expect(stepSpeeds({ startRpm: 900, endRpm: 900, spacingRpm: 100 })).toEqual([900]);
  });
  test('keep their end in spite of rounding: 0.1 steps', () => {
    expect(stepSpeeds({ startRpm: 1000, endRpm: 1000.3, spacingRpm: 0.1 })).toHaveLength(4);
  });
  test.each([
    [{ ...LIST, startRpm: 0 }, 'above 0 rpm'],
    [{ ...LIST, spacingRpm: 0 }, 'spacing'],
    [{ startRpm: 500, endRpm: 8000, spacingRpm: 1 }, 'more than 200'],
  ])('are refused for %j', (list, words) => {
    expect(stepsProblem(list)).toContain(words);
    expect(() => stepSpeeds(list)).toThrow(RangeError);
  });
});

describe('the next step', () => {
  test('is the first without a reading beyond the last one', () => {
    expect(nextStep(LIST, [])).toBe(800);
    expect(nextStep(LIST, [at(812, 800)])).toBe(1200);
    expect(nextStep(LIST, [at(812, 800), at(1590)])).toBe(2000);
  });
  test('that was passed over comes when the end is reached, not at every reading', () => {
    // an engine that idles at 1010 is never read at 800
    const readings = [at(1010, 800), at(1210), at(1590)];
    expect(readings.map((_, i) => nextStep(LIST, readings.slice(0, i + 1)))).toEqual([1200, 1600, 2000]);
    expect(nextStep(LIST, [...readings, at(2010)])).toBe(800);
  });
  test('goes down where the list does', () => {
    const down = { startRpm: 2000, endRpm: 800, spacingRpm: 400 };
    expect(nextStep(down, [at(2000), at(1210)])).toBe(800);
  });
  test('is none when every step has one', () => {
    expect(nextStep(LIST, [at(800), at(1210), at(1600), at(1950)])).toBeNull();
  });
  test('has no reading where one was asked for there but made far off', () => {
    expect(belongsTo(at(1150, 800), 800, 400)).toBe(false);
    expect(openSteps(LIST, [at(1150, 800)])).toEqual([800, 1600, 2000]);
  });
});
