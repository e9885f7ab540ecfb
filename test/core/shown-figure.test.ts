import { expect, test } from 'vitest';
import { shownFigure } from '../../core/shown-figure';

test('a measured speed is shown to tens, one that was wanted as it is, degrees untouched', () => {
  expect(shownFigure({ value: 2993.4, low: 2848.7, high: 3235.1 }, 'rpm')).toEqual({
    ...{ value: 2990, low: 2850, high: 3240 },
  });
  expect(shownFigure({ value: 2995, low: 2995, high: 2995 }, 'rpm').value).toBe(2995);
  expect(shownFigure({ value: 34.12, low: 33.2, high: 35 }, 'deg').value).toBe(34.12);
});
