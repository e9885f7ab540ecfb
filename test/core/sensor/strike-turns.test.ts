/** Turns by a lead's strikes alone, against motions written down here. */
import { describe, expect, test } from 'vitest';
import { StrikeTurns } from '../../../core/sensor/strike-turns';

/** A plug lead of a four-stroke fires once in two turns (common practice). */
const PLUG = 0.5;

function turnsOf(perTurn: number, timesS: readonly number[]): StrikeTurns {
  const turns = new StrikeTurns(perTurn);
  for (const timeS of timesS) turns.add(timeS);
  return turns;
}
const every = (n: number, betweenS: number): number[] => Array.from({ length: n }, (_, i) => i * betweenS);

/** 900 rpm, then up by 7200 rpm a second from one second on: turns 15 t, and 60 (t - 1)² more. */
const freeRev = (turns: number): number =>
  turns <= 15 ? turns / 15 : 1 + (Math.sqrt(225 + 240 * (turns - 15)) - 15) / 120;

describe('at one speed', () => {
  const turns = turnsOf(PLUG, every(10, 0.08)); // 25 turns a second
  test('they follow the time between any two moments', () => {
    expect(turns.between(0.1, 0.34)).toBeCloseTo(6, 9);
    expect(turns.between(0.01, 0.03)).toBeCloseTo(0.5, 9);
  });
  test('a strike tells at once, and nothing is said beyond it', () => {
    expect(turns.knownUntilS).toBeCloseTo(0.72, 9); // the last of ten
    expect(turns.between(0.1, 0.65)).toBeCloseTo(13.75, 9);
    expect(turns.between(0.1, 0.73)).toBeNull();
    expect(turns.between(-0.1, 0.3)).toBeNull();
  });
  test('one that comes a fifth sooner or later tells nothing before the next one came', () => {
    for (const lastS of [0.72 + 0.064, 0.72 + 0.096]) {
      const changed = turnsOf(PLUG, [...every(10, 0.08), lastS]);
      expect(changed.knownUntilS).toBeCloseTo(0.72, 9);
      changed.add(lastS + 0.08);
      expect(changed.knownUntilS).toBeGreaterThan(0.72);
    }
  });
  test('missing strikes are counted, one or three in a row', () => {
    const some = turnsOf(
      PLUG,
      every(20, 0.08).filter((_, i) => ![4, 8, 9, 10].includes(i)),
    );
    expect(some.between(0.1, 0.5)).toBeCloseTo(10, 9);
    expect(some.between(0.1, 1.1)).toBeCloseTo(25, 9);
  });
  test('every other strike missing for a while does not halve the speed', () => {
    const some = turnsOf(
      PLUG,
      every(40, 0.08).filter((_, i) => ![10, 12, 14].includes(i)),
    );
    expect(some.between(0.1, 2.1)).toBeCloseTo(50, 9);
  });
});

test('before two strikes, and over a break, nothing is said', () => {
  expect(turnsOf(PLUG, []).between(0, 1)).toBeNull();
  expect(turnsOf(PLUG, [0.1]).between(0, 1)).toBeNull();
  const broken = turnsOf(PLUG, [...every(5, 0.08), ...every(5, 0.08).map((timeS) => timeS + 3)]);
  expect(broken.between(0.1, 3.1)).toBeNull();
  expect(broken.between(3.01, 3.09)).toBeCloseTo(2, 9);
});
test('over a strike that stands between two others nothing is said, and the speed goes on', () => {
  const stray = turnsOf(
    PLUG,
    [...every(20, 0.08), 0.75].sort((a, b) => a - b),
  );
  expect(stray.between(0.5, 1.1)).toBeNull();
  expect(stray.between(1.0, 1.4)).toBeCloseTo(10, 9);
});
const PHASES = [0.1, 0.5, 0.9, 1.3, 1.7];
/** A free rev whose strikes stand a share of two turns on, but for the one nearest a turn. */
function revved(phase: number, missing: number | null): StrikeTurns {
  const fired = Array.from({ length: 25 }, (_, i) => 2 * i + phase);
  const near = missing === null ? null : Math.round((missing - phase) / 2) * 2 + phase;
  return turnsOf(PLUG, fired.filter((turn) => turn !== near).map(freeRev));
}
test.each([
  ['no strike missing', null],
  ['one missing further on', 24.9],
])('whole turns are told apart through a hard corner of the speed, %s', (_, missing) => {
  for (const phase of PHASES)
    for (let turn = 4; turn < 38; turn++) {
      const told = revved(phase, missing).between(freeRev(turn - 0.5), freeRev(turn + 0.5))!;
      expect(Math.abs(told - 1)).toBeLessThan(0.2);
    }
});
test('a strike missing at the very corner is counted right or not at all', () => {
  const told = PHASES.map((phase) => revved(phase, 15).between(freeRev(6), freeRev(36)));
  for (const turns of told) if (turns !== null) expect(turns).toBeCloseTo(30, 1);
});
