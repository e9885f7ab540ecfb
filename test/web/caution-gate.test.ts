import { expect, test } from 'vitest';
import { BEFORE, CAUTIONS } from '../../web/cautions';
import { CautionGate } from '../../web/parts/caution-gate.svelte';
import type { Preferences } from '../../web/state/contracts';

const NOW = '2026-10-14T17:05:00.000Z';
function gateWith(): {
  gate: CautionGate;
  likes: Preferences;
  done: string[];
  act: (name: string) => () => void;
} {
  const likes: Preferences = {
    theme: 'system',
    padHand: 'right',
    soundSigns: true,
    keepSound: false,
    buzzSigns: true,
    guide: null,
    cautionsSeenAt: null,
  };
  const done: string[] = [];
  return { gate: new CautionGate(likes, () => NOW), likes, done, act: (name) => () => done.push(name) };
}

test('an act waits for its cautions and is done once they are acknowledged', () => {
  const { gate, done, act, likes } = gateWith();
  gate.before('run', act('run'));
  expect(gate.asking).toBe('run');
  expect(done).toEqual([]);
  gate.acknowledge();
  expect(done).toEqual(['run']);
  expect(gate.asking).toBeNull();
  expect(likes.cautionsSeenAt).toBe(NOW);
});
test('the second time in a session it is done at once', () => {
  const { gate, done, act } = gateWith();
  gate.before('line input', act('first'));
  gate.acknowledge();
  gate.before('line input', act('second'));
  expect(done).toEqual(['first', 'second']);
});
test('cautions for the line input do not stand in for those of a run', () => {
  const { gate, done, act } = gateWith();
  gate.before('line input', act('listen'));
  gate.acknowledge();
  gate.before('run', act('run'));
  expect(done).toEqual(['listen']);
  expect(gate.asking).toBe('run');
});
test('closed without a yes, the act is dropped and asked again next time', () => {
  const { gate, done, act } = gateWith();
  gate.before('run', act('run'));
  gate.dismiss();
  expect(done).toEqual([]);
  gate.before('run', act('run'));
  expect(gate.asking).toBe('run');
});
test('looking at all the cautions acknowledges none', () => {
  const { gate, done, act } = gateWith();
  gate.showAll();
  gate.dismiss();
  gate.before('run', act('run'));
  expect(done).toEqual([]);
});
test('every caution is shown before one act or the other', () =>
  expect(new Set([...BEFORE['line input'], ...BEFORE.run])).toEqual(new Set(Object.keys(CAUTIONS))));

// The trade's list of what every user must see (common practice), one word of each.
test.each([
  'look still',
  'kilovolts',
  'Exhaust',
  'extraction',
  'burn',
  'fuel',
  'chocked',
  'neutral',
  'brake',
  'hearing',
  'eye',
  'second person',
  'stop at the first sign',
  'insulation',
  'limiting interface',
  'maker',
  'emissions label',
  'laws',
  'licensed mechanic',
])('the cautions speak of "%s"', (word) =>
  expect(
    Object.values(CAUTIONS)
      .map(({ title, text }) => `${title} ${text}`)
      .join(' '),
  ).toContain(word),
);
