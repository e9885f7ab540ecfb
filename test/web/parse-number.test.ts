import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseNumber, type NumberWanted } from '../../web/parse-number';

const DEG: NumberWanted = { what: 'Advance', unit: '°', min: -20, max: 70 };
const RPM: NumberWanted = { what: 'Speed', unit: 'rpm', min: 150, max: 12_000 };
const MM: NumberWanted = {
  what: 'Damper diameter',
  unit: 'mm',
  min: 12,
  max: 600,
  otherUnits: { in: 25.4, '"': 25.4, cm: 10 },
};

test.each([
  ['12.5', 12.5],
  ['12,5', 12.5],
  ['  12,5 ° ', 12.5],
  ['+3', 3],
  ['-2', -2],
  ['\u22122', -2],
  ['\u20132,5', -2.5],
  ['.5', 0.5],
  ['7.', 7],
  ['0', 0],
])('degrees typed as "%s" are %d', (typed, value) => expect(parseNumber(typed, DEG)).toEqual({ value }));

test.each([
  ['1200', 1200],
  ['1 200 rpm', 1200],
  ['1\u00A0200', 1200],
  ['1,200', 1200],
  ['1,200.5', 1200.5],
  ['812,5 RPM', 812.5],
])('a speed typed as "%s" is %d', (typed, value) => expect(parseNumber(typed, RPM)).toEqual({ value }));

// 1 inch is 25.4 mm by definition (international inch, 1959).
test.each([
  ['8 in', 203.2],
  ['8"', 203.2],
  ['20,32 cm', 203.2],
  ['203.2 mm', 203.2],
])('a diameter typed as "%s" is 203.2 mm', (typed, value) => {
  const result = parseNumber(typed, MM);
  expect('value' in result ? result.value : NaN).toBeCloseTo(value, 9);
});

test('an empty field is no number, and no fault', () =>
  expect(parseNumber('  ', RPM)).toEqual({ value: null }));

test.each(['twelve', '12..5', '1,2,3', '--4', '12 furlongs', '140', 'NaN', 'Infinity', '1e3', '0x20'])(
  '"%s" gives one sentence that says what was wanted and what came',
  (typed) => {
    const result = parseNumber(typed, DEG);
    expect(result).toEqual({ problem: `Advance wants a number from −20 to 70°; this says “${typed}”.` });
  },
);

test('a whole number is asked for where only one will do', () =>
  expect(parseNumber('2.5', { what: 'Cylinders', unit: '', min: 1, max: 24, whole: true })).toEqual({
    problem: 'Cylinders wants a whole number from 1 to 24; this says “2.5”.',
  }));

test('whatever is typed gives a number in range, nothing, or a sentence: never NaN, never a throw', () => {
  fc.assert(
    fc.property(fc.string({ maxLength: 12 }), (typed) => {
      const result = parseNumber(typed, RPM);
      if ('problem' in result) expect(result.problem).toContain('from 150 to 12000 rpm');
      else if (result.value !== null) {
        expect(result.value).toBeGreaterThanOrEqual(150);
        expect(result.value).toBeLessThanOrEqual(12_000);
      }
    }),
    { seed: 20_261_125, numRuns: 2000 },
  );
});

test('every number that can be, typed with point or comma, comes back', () => {
  fc.assert(
    fc.property(fc.integer({ min: -200, max: 700 }), fc.boolean(), (tenths, comma) => {
      const typed = (tenths / 10).toFixed(1);
      expect(parseNumber(comma ? typed.replace('.', ',') : typed, DEG)).toEqual({ value: Number(typed) });
    }),
    { seed: 7, numRuns: 500 },
  );
});
