/** Turns between two sparks against what the ignition says, by hand arithmetic. */
import { expect, test } from 'vitest';
import type { CrankPlace } from '../../../core/sensor/crank-turns';
import { neighboursAgree } from '../../../core/sensor/neighbours-agree';

const PLUG = { strokes: 4, cylinders: 8, pickup: 'plug' } as const; // one spark in two turns
const COIL = { strokes: 4, cylinders: 8, pickup: 'coil' } as const; // four in a turn

const place = (allTurns: number, rpm = 3000, more: Partial<CrankPlace> = {}): CrankPlace => ({
  ...{ turns: allTurns % 1, allTurns, rpm, sdTurns: 1e-4, pulseSdTurns: 1e-5, stretch: 1, isBeyond: false },
  ...more,
});

test('two turns between two sparks of a plug lead agree, and four where one is missing', () => {
  // 3000 rpm are 50 turns a second: two turns in 40 ms
  expect(neighboursAgree(PLUG, place(10.1), place(12.11), 0.04)).toBe(true);
  expect(neighboursAgree(PLUG, place(10.1), place(14.1), 0.08)).toBe(true);
});
test('a turn that was not counted, or one too many, is gainsaid', () => {
  expect(neighboursAgree(PLUG, place(10.1), place(11.1), 0.04)).toBe(false);
  expect(neighboursAgree(PLUG, place(10.1), place(13.1), 0.04)).toBe(false);
  expect(neighboursAgree(PLUG, place(10.1), place(10.1), 0.04)).toBe(false);
});
test('on a coil lead half the speed makes half an interval', () => {
  expect(neighboursAgree(COIL, place(10), place(10.25), 0.005)).toBe(true);
  expect(neighboursAgree(COIL, place(10, 1500), place(10.125, 1500), 0.005)).toBe(false);
});
test('whole intervals at a speed that does not fit them say nothing', () => {
  expect(neighboursAgree(PLUG, place(10.1, 1500), place(12.1, 1500), 0.04)).toBeNull();
});
test('nothing is said across a break, of a place that is not known, or of one that is not sure', () => {
  expect(neighboursAgree(PLUG, place(10.1), place(12.1, 3000, { stretch: 2 }), 0.04)).toBeNull();
  expect(neighboursAgree(PLUG, null, place(12.1), 0.04)).toBeNull();
  expect(neighboursAgree(PLUG, place(10.1), place(11.1, 3000, { sdTurns: 0.1 }), 0.04)).toBeNull();
});
