/** Range and scatter of advances, on made ones. */
import { expect, test } from 'vitest';
import { AdvanceSpread } from '../../../core/sensor/advance-spread';
import { createRandom } from '../../../dsp/maker/random';

test('the scatter is that of the sparks, what measuring adds taken out', () => {
  const random = createRandom(6, 1);
  const spread = new AdvanceSpread();
  // own scatter 0.25, measuring 0.15, on a line that rises by a degree in a thousand sparks
  for (let i = 0; i < 8000; i++)
    spread.add(10 + i / 1000 + 0.25 * random.normal() + 0.15 * random.normal(), 0.15);
  expect(Math.abs(spread.range!.scatterDeg! / 0.25 - 1)).toBeLessThan(0.03);
  expect(Math.abs(spread.range!.medianDeg - 14)).toBeLessThan(0.1);
});

test('nothing is told of none, and no scatter of one', () => {
  const spread = new AdvanceSpread();
  expect(spread.range).toBeNull();
  spread.add(12, 0.1);
  expect(spread.range!.scatterDeg).toBeNull();
  expect(spread.range!.minDeg).toBe(12);
});
