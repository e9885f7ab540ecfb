/** A sensor's pulses counted by strikes: every case written out by hand. */
import { expect, test } from 'vitest';
import { CountedPulses, type HeardPulse, type SensorPulse } from '../../../core/sensor/counted-pulses';
import { StrikeTurns } from '../../../core/sensor/strike-turns';

/** Turns told, and whether the strikes counted them, at each pulse's turn. */
type Told = readonly [turn: number, turns: number, isCounted: boolean];

const TURN_S = 0.04;
const pulse = (turn: number, turns: number, height = 0.4): HeardPulse => ({
  ...{ timeS: turn * TURN_S, sdS: 1e-6, height, turns },
});

/** A plug lead fires 0.4 turns after every other pulse. @param standing what stands in the sound */
function told(
  heard: readonly HeardPulse[],
  standing: readonly SensorPulse[] = [],
  fired = (firing: number): boolean => firing >= 0,
): Told[] {
  const strikes = new StrikeTurns(0.5);
  const rows: Told[] = [];
  const pulses = new CountedPulses(
    strikes,
    (fromS, untilS, least) =>
      standing.filter(({ timeS, height }) => timeS > fromS && timeS < untilS && Math.abs(height) >= least),
    (timeS, turns, _sdS, isCounted) =>
      rows.push([Math.round((timeS / TURN_S) * 100) / 100, turns, isCounted]),
  );
  for (const each of heard) pulses.add(each);
  for (let firing = -1; firing < 20; firing++)
    if (firing < 0 || fired(firing)) strikes.add((2 * firing + 0.4) * TURN_S);
  pulses.settle(Infinity);
  return rows;
}
const followed = (...turns: number[]): HeardPulse[] =>
  turns.map((turn, i) => pulse(turn, i === 0 ? 0 : turn - turns[i - 1]!));

test('pulses as many turns apart as strikes say are counted', () => {
  expect(told(followed(1, 2, 4, 5))).toEqual([
    [1, 0, false],
    [2, 1, true],
    [4, 2, true],
    [5, 1, true],
  ]);
});
test('a gap that was counted wrong by the pulses is mended, and so is a break', () => {
  const wrong = [pulse(1, 0), pulse(2, 1), pulse(5, 2), pulse(6, 1), pulse(8, 0), pulse(9, 1)];
  expect(told(wrong).map(([, turns]) => turns)).toEqual([0, 1, 3, 1, 2, 1]);
});
test('strikes that never agreed with the pulses mend nothing', () => {
  expect(told([pulse(1, 0), pulse(3, 1), pulse(5, 1)])).toEqual([
    [1, 0, false],
    [3, 1, false],
    [5, 1, false],
  ]);
});
test('what stands in a gap where a pulse is due is one; anything else is none', () => {
  const heard = followed(1, 2, 5, 6);
  const stands = (turn: number, height = 0.4): SensorPulse => ({ timeS: turn * TURN_S, sdS: 1e-6, height });
  const turns = (...standing: SensorPulse[]): (readonly number[])[] =>
    told(heard, standing)
      .slice(2, -1)
      .map(([turn, since]) => [turn, since]);
  expect(turns(stands(3))).toEqual([
    [3, 1],
    [5, 2],
  ]);
  expect(turns(stands(3), stands(4))).toEqual([
    [3, 1],
    [4, 1],
    [5, 1],
  ]);
  const gap = [[5, 3]];
  expect(turns(stands(3.5))).toEqual(gap);
  expect(turns(stands(3, -0.4))).toEqual(gap); // the other way up
  expect(turns(stands(3, 0.2))).toEqual(gap); // half as tall
  expect(turns(stands(3, 0.9))).toEqual(gap); // more than twice
});
test('a pulse between two turns is counted by the pulses alone', () => {
  const doubled = [pulse(1, 0), pulse(2, 1), pulse(2.5, 1), pulse(3, 1), pulse(4, 1)];
  expect(told(doubled).map(([, , isCounted]) => isCounted)).toEqual([false, true, false, false, true]);
});
test('where one stands in the middle twice in a row, every other pulse was followed: nothing is counted over it', () => {
  const heard = [pulse(2, 0), pulse(4, 1), pulse(6, 1), pulse(8, 1)];
  const standing = (...turns: number[]): SensorPulse[] =>
    turns.map((turn) => ({ timeS: turn * TURN_S, sdS: 1e-6, height: 0.4 }));
  const turns = (...at: number[]): number[] =>
    told(heard, standing(...at), () => false).map(([, since]) => since);
  expect(turns(3, 5, 7)).toEqual([0, 0, 0, 0]);
  expect(turns(5)).toEqual([0, 1, 1, 1]); // one that no tooth made
  expect(turns(3.5, 5.5)).toEqual([0, 1, 1, 1]); // not in the middle
});
test('without strikes the pulses count alone', () => {
  expect(told(followed(1, 2, 4), [], () => false)).toEqual([
    [1, 0, false],
    [2, 1, false],
    [4, 2, false],
  ]);
});
test('a pulse waits for strikes after it, though not for ever', () => {
  const strikes = new StrikeTurns(0.5);
  const at: number[] = [];
  const pulses = new CountedPulses(
    strikes,
    () => [],
    (timeS) => at.push(timeS),
  );
  pulses.add(pulse(1, 0));
  pulses.settle(1);
  expect(at).toEqual([]);
  for (const turn of [0.4, 2.4, 4.4]) strikes.add(turn * TURN_S);
  pulses.settle(1);
  expect(at).toEqual([TURN_S]);
  pulses.add(pulse(30, 0));
  pulses.settle(5);
  expect(at).toHaveLength(1);
  pulses.settle(5.5);
  expect(at).toHaveLength(2);
});
