/** The vacuum's next step, and what its readings do not show, in words. */
import { describe, expect, test } from 'vitest';
import { fitVacuum, KPA_PER } from '../../core/vacuum';
import { nextVacuum, vacuumNotes, vacuumText } from '../../web/views/checks/vacuum-words';

describe('the vacuum to set next', () => {
  test('begins at none and goes on by one step of the unit', () => {
    expect(nextVacuum([], 'inHg')).toBe(0);
    expect(nextVacuum([{ vacuumKpa: 6 * KPA_PER.inHg }], 'inHg')).toBe(7);
    expect(nextVacuum([{ vacuumKpa: 20 }], 'kPa')).toBe(24);
    expect(nextVacuum([{ vacuumKpa: 20 }], 'mbar')).toBe(240);
  });
  test('is said with its unit', () => {
    expect(vacuumText(6, 'inHg')).toBe('6 inHg');
    expect(vacuumText(6.5, 'inHg')).toBe('6.5 inHg');
    expect(vacuumText(203.2, 'mbar')).toBe('203 mbar');
  });
});

describe('the notes', () => {
  const sure = { isMixed: false, isOverCurve: false };
  test('ask for more readings while they are few', () => {
    expect(vacuumNotes(fitVacuum([]), sure, 1)).toEqual([
      '1 reading: at least 5 are needed, at 3 or more vacuums.',
    ]);
  });
  test('name what is not seen, and what may be mixed in', () => {
    const rising = fitVacuum(
      [10, 15, 20, 25, 30, 35].map((kpa) => ({ vacuumKpa: kpa, advanceDeg: kpa / 2 })),
    );
    const notes = vacuumNotes(rising, { isMixed: true, isOverCurve: false }, 6).join(' ');
    expect(notes).toContain('The start is not seen');
    expect(notes).toContain('Full is not seen');
    expect(notes).toContain('may be mixed in');
    expect(vacuumNotes(rising, { isMixed: false, isOverCurve: true }, 6)[0]).toContain('is taken off');
  });
});
