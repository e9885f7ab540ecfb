import { expect, test } from 'vitest';
import { complaint, DEGREES, entered, pressed, SPEED, type PadKey } from '../../web/views/run/pad-entry';

const typed = (keys: string, asked = DEGREES): string =>
  [...keys].reduce((text, key) => pressed(text, key === '<' ? 'delete' : (key as PadKey), asked), '');

test.each([
  ['12', 12],
  ['34.5', 34.5],
  ['-4', -4],
  ['4-', -4], // minus turns the sign wherever it is pressed
  ['4--', 4],
  ['012', 12],
  ['0', 0],
  ['-0.5', -0.5],
  ['12<3', 13],
])('the keys %s give %s degrees', (keys, degrees) => expect(entered(typed(keys), DEGREES)).toBe(degrees));

test.each(['', '-', '.', '-.', '81', '-31'])('the keys "%s" give no degrees', (keys) =>
  expect(entered(typed(keys), DEGREES)).toBeNull(),
);

test('a second point, a second decimal and a third digit are not taken', () => {
  expect(typed('1.2.3')).toBe('1.2');
  expect(typed('1.25')).toBe('1.2');
  expect(typed('123')).toBe('12');
});

test('a speed has no minus and no point', () => {
  expect(typed('-1.850', SPEED)).toBe('1850');
  expect(entered('1850', SPEED)).toBe(1850);
  expect(entered('149', SPEED)).toBeNull();
});

test('a number too large is complained of in a sentence, one still being typed is not', () => {
  expect(complaint('81', DEGREES)).toBe('Advance must lie between -30 and 80°.');
  expect(complaint('1', SPEED)).toBe('');
  expect(complaint('12500', SPEED)).toBe('A speed must lie between 150 and 12000 rpm.');
  expect(complaint('', DEGREES)).toBe('');
});
