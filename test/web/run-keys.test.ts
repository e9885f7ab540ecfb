import { expect, test } from 'vitest';
import { actOf, type KeyFacts } from '../../web/views/run/run-keys';

const BARE: KeyFacts = {
  key: '',
  ctrl: false,
  shift: false,
  alt: false,
  repeat: false,
  focus: 'nothing',
  asking: false,
};
const act = (facts: Partial<KeyFacts>) => actOf({ ...BARE, ...facts });

test.each([' ', 'PageDown', 'PageUp'])('the key "%s" pins, also when a button has the focus', (key) => {
  for (const focus of ['nothing', 'button', 'pin button'] as const)
    expect(act({ key, focus })).toEqual({ do: 'pin' });
});

test('no key pins while a field is typed in, nor space while a tick box has the focus', () => {
  for (const key of [' ', 'Enter', '7', 'PageDown']) expect(act({ key, focus: 'field' })).toBeNull();
  expect(act({ key: ' ', focus: 'control' })).toBeNull();
});

test('Enter pins, takes what the pad holds, and is left to a focused button', () => {
  expect(act({ key: 'Enter' })).toEqual({ do: 'pin' });
  expect(act({ key: 'Enter', focus: 'pin button' })).toEqual({ do: 'pin' });
  expect(act({ key: 'Enter', asking: true })).toEqual({ do: 'take' });
  expect(act({ key: 'Enter', focus: 'button', asking: true })).toBeNull();
});

test('digits, comma, minus and backspace type only while the pad asks', () => {
  expect(act({ key: '7' })).toBeNull();
  expect(act({ key: '7', asking: true })).toEqual({ do: 'type', key: '7' });
  expect(act({ key: ',', asking: true })).toEqual({ do: 'type', key: '.' });
  expect(act({ key: '-', asking: true, focus: 'button' })).toEqual({ do: 'type', key: '-' });
  expect(act({ key: 'Backspace', asking: true })).toEqual({ do: 'type', key: 'delete' });
});

test('Escape cancels while the pad asks and is else left alone', () => {
  expect(act({ key: 'Escape', asking: true })).toEqual({ do: 'cancel' });
  expect(act({ key: 'Escape' })).toBeNull();
});

test('Ctrl and Z take back; other Ctrl and Alt keys stay with the browser', () => {
  expect(act({ key: 'z', ctrl: true })).toEqual({ do: 'undo' });
  expect(act({ key: 'r', ctrl: true })).toBeNull();
  expect(act({ key: 'Z', ctrl: true, shift: true })).toBeNull();
  expect(act({ key: ' ', alt: true })).toBeNull();
});
