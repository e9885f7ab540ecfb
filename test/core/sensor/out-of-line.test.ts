/** A spark out of line with its neighbours: every case written out by hand. */
import { expect, test } from 'vitest';
import type { CrankPlace } from '../../../core/sensor/crank-turns';
import { OutOfLine } from '../../../core/sensor/out-of-line';

const PLUG = { strokes: 4, cylinders: 8, pickup: 'plug' } as const;
const COIL_6 = { strokes: 4, cylinders: 6, pickup: 'coil' } as const;
const SURE = { turns: 0, sdTurns: 1e-4, pulseSdTurns: 1e-5, rpm: 2000, stretch: 1, isBeyond: false };
/** @param deg the crank turned since the first spark */
const at = (deg: number, place: Partial<CrankPlace> = {}): CrankPlace => ({
  ...{ ...SURE, allTurns: deg / 360 },
  ...place,
});
/** Which sparks are out of line, by their number. */
function out(engine: typeof PLUG | typeof COIL_6, degrees: readonly number[]): number[] {
  const line = new OutOfLine(engine);
  const places = degrees.map((deg) => at(deg));
  return places.flatMap((place, i) =>
    line.is(places[i - 1] ?? null, place, places[i + 1] ?? null) ? [i] : [],
  );
}
// a plug lead of a four-stroke fires every 720 degrees (common practice)
const plug = (...laterDeg: number[]): number[] =>
  out(
    PLUG,
    laterDeg.map((later, i) => 720 * i + later),
  );

test('one that stands later or earlier than both is, its neighbours are not', () => {
  expect(plug(0, 0, 9, 0, 0)).toEqual([2]);
  expect(plug(0, 0, -9, 0, 0)).toEqual([2]);
});
test('an advance that goes on changing is in line, however fast', () => {
  expect(plug(0, -8, -16, -24, -24, -24)).toEqual([]);
});
test('what scatters usually is in line', () => {
  const worn = [0, 3, -2, 1, -3, 2, 0, -1, 3, -2];
  expect(plug(...worn)).toEqual([]);
});
test('six cylinders that fire 150 and 90 degrees apart are in line once that is learnt', () => {
  // 0 and 150, 240 and 390, 480 and 630 (common practice of odd-firing engines)
  const fired = Array.from({ length: 60 }, (_, i) => 240 * Math.floor(i / 2) + 150 * (i % 2));
  expect(out(COIL_6, fired).filter((i) => i > 12)).toEqual([]);
});
test('without a neighbour whose place is known nothing is said', () => {
  const line = new OutOfLine(PLUG);
  expect(line.is(null, at(20), at(720))).toBe(false);
  expect(line.is(at(-720), at(20), at(720, { stretch: 2 }))).toBe(false);
  expect(line.is(at(-720, { sdTurns: 0.1 }), at(20), at(720))).toBe(false);
});
