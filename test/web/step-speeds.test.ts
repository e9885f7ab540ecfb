import { expect, test } from 'vitest';
import { stepSpeeds, stepsProblem } from '../../web/views/engine/step-speeds';

test('steps run from the start to the end, both among them', () =>
  expect(stepSpeeds({ startRpm: 600, endRpm: 1400, spacingRpm: 200 })).toEqual([600, 800, 1000, 1200, 1400]));
test('an end that the spacing does not meet is left out', () =>
  expect(stepSpeeds({ startRpm: 600, endRpm: 1100, spacingRpm: 200 })).toEqual([600, 800, 1000]));
test('a list upside down, too long or without spacing is spoken against in one sentence', () => {
  expect(stepsProblem({ startRpm: 3000, endRpm: 600, spacingRpm: 200 })).toMatch(/must lie above the first/);
  expect(stepsProblem({ startRpm: 600, endRpm: 9000, spacingRpm: 10 })).toMatch(
    /841 steps; 100 are the most/,
  );
  expect(stepsProblem({ startRpm: 600, endRpm: 9000, spacingRpm: 0 })).toMatch(/some rpm apart/);
  expect(() => stepSpeeds({ startRpm: 3000, endRpm: 600, spacingRpm: 200 })).toThrow(RangeError);
});
