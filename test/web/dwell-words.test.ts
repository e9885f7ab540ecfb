/** Dwell heard on the coil lead, in words. */
import { expect, test } from 'vitest';
import { dwellInterval, noDwellText } from '../../web/views/checks/dwell-words';

const dwell = { deg: 29.4, degSd: 0.12, percent: 65.3, percentSd: 0.27, scatterDeg: 0.5, intervals: 512 };

test('a dwell has its 95 % either side: 1.96 · 0.12 is 0.2 degrees, 1.96 · 0.27 is 0.5 per cent', () => {
  expect(dwellInterval(dwell)).toBe('± 0.2°, 65.3 ± 0.5 % of the interval');
  expect(noDwellText({ dwell, reason: null }, 'coil')).toBeNull();
});
test('where none is seen it says why, and what to do', () => {
  expect(noDwellText(null, 'plug')).toMatch(/not on the coil lead/);
  expect(noDwellText(null, 'coil')).toMatch(/^Start listening/);
  expect(noDwellText({ dwell: null, reason: 'speed unchanged' }, 'coil')).toMatch(/change the speed/);
  expect(noDwellText({ dwell: null, reason: 'not seen' }, 'coil')).toMatch(/does not carry it/);
});
