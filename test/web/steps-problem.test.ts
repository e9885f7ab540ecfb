import { expect, test } from 'vitest';
import { stepsProblem } from '../../web/views/engine/steps-problem';

test('a list that can be held has no problem', () =>
  expect(stepsProblem({ startRpm: 600, endRpm: 3200, spacingRpm: 200 })).toBeNull());
test('a list without spacing is spoken against in one sentence', () =>
  expect(stepsProblem({ startRpm: 600, endRpm: 9000, spacingRpm: 0 })).toBe(
    'The steps must be some rpm apart; this says 0.',
  ));
test('a list upside down is spoken against in one sentence', () =>
  expect(stepsProblem({ startRpm: 3000, endRpm: 600, spacingRpm: 200 })).toBe(
    'The last step must lie above the first; this says 3000 to 600 rpm.',
  ));
// (9000 - 600) / 10 + 1 = 841 (hand arithmetic)
test('a list too long says how long it is', () =>
  expect(stepsProblem({ startRpm: 600, endRpm: 9000, spacingRpm: 10 })).toBe(
    'That makes 841 steps; 100 are the most. Space them wider.',
  ));
