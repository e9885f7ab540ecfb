import { expect, test } from 'vitest';
import type { HoldView } from '../../web/state/contracts';
import { correctionsText, holdWords, noSpeedWords } from '../../web/views/run/run-words';

const HOLD: HoldView = { stepRpm: 1200, steady: false, offRpm: -40, heldS: 0, stepsDone: 2, stepsAll: 9 };

test('how far off the step is stands in words', () => {
  expect(holdWords(HOLD)).toBe('40 rpm too low');
  expect(holdWords({ ...HOLD, offRpm: 85.4 })).toBe('85 rpm too high');
  expect(holdWords({ ...HOLD, offRpm: 3 })).toBe('there: hold it');
  expect(holdWords({ ...HOLD, steady: true, offRpm: 3 })).toBe('steady');
  expect(holdWords({ ...HOLD, offRpm: null })).toBe('no speed');
});

test('a list that is done and a list that is not set are told apart', () => {
  expect(holdWords({ ...HOLD, stepRpm: null })).toBe('All steps have a reading');
  expect(holdWords({ ...HOLD, stepRpm: null, stepsAll: 0 })).toBe('No steps set');
});

test('no reason is given while there is a speed, and one always where there is none', () => {
  const live = { phase: 'running', source: 'line input', rpm: null, latest: null } as const;
  expect(noSpeedWords({ ...live, rpm: 900 })).toBe('');
  for (const phase of ['idle', 'opening', 'running', 'ended'] as const)
    expect(noSpeedWords({ ...live, phase }).length).toBeGreaterThan(8);
});

test('only corrections that are not zero are named', () => {
  expect(correctionsText({ tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 0 })).toBeNull();
  expect(correctionsText({ tapeZeroErrorDeg: 2, tapeZeroSdDeg: null, lightDelayUs: 40 })).toBe(
    'tape +2°, light 40 µs',
  );
  expect(correctionsText({ tapeZeroErrorDeg: -0.5, tapeZeroSdDeg: null, lightDelayUs: 0 })).toBe(
    'tape −0.5°',
  );
  // 1.96 · 0.354 = 0.69
  expect(correctionsText({ tapeZeroErrorDeg: 2, tapeZeroSdDeg: 0.354, lightDelayUs: 0 })).toBe(
    'tape +2° ± 0.7°',
  );
});
