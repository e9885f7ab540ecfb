import { expect, test } from 'vitest';
import { BuzzSign, canBuzz, PATTERNS } from '../../web/audio/buzz-sign';

test('each sign has a pattern of its own, felt apart from the others', () => {
  const felt = Object.values(PATTERNS).map(String);
  expect(new Set(felt).size).toBe(4);
});
test('a sign shakes the machine by its pattern', () => {
  const shaken: number[][] = [];
  const buzz = new BuzzSign((pattern) => shaken.push(pattern) > 0);
  buzz.give('steady');
  buzz.give('stored');
  expect(shaken).toEqual([[...PATTERNS.steady], [...PATTERNS.stored]]);
});
test('a machine that cannot vibrate is left alone', () => {
  expect(canBuzz()).toBe(false); // Node has none
  expect(() => new BuzzSign(null).give('steady')).not.toThrow();
});
