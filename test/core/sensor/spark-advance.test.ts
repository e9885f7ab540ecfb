/** Advance against a crank sensor, by hand arithmetic. */
import { describe, expect, test } from 'vitest';
import { CrankTurns } from '../../../core/sensor/crank-turns';
import { sparkAdvanceDeg, sparkSpacingDeg } from '../../../core/sensor/spark-advance';

const at60 = { angleDeg: 60, delayUs: 0 };

test('a spark 26 degrees after a sensor at 60 degrees before TDC stands 34 degrees before it', () => {
  expect(sparkAdvanceDeg(26 / 360, 3000, at60, 360)).toBeCloseTo(34, 9);
});
test('a spark after TDC is a negative advance', () => {
  expect(sparkAdvanceDeg(65 / 360, 800, at60, 360)).toBeCloseTo(-5, 9);
});
test('a spark before the sensor is counted from the pulse before', () => {
  expect(sparkAdvanceDeg(1 - 4 / 360, 800, { angleDeg: 10, delayUs: 0 }, 360)).toBeCloseTo(14, 9);
});
test('a sensor heard 100 microseconds late at 3000 rpm makes 1.8 degrees', () => {
  // 6 · 3000 · 100e-6 = 1.8: common practice, deg = 6 rpm s
  expect(sparkAdvanceDeg(26 / 360, 3000, { angleDeg: 60, delayUs: 100 }, 360)).toBeCloseTo(32.2, 9);
});
test('on the coil lead each spark is taken against its own cylinder', () => {
  const engine = { strokes: 4, cylinders: 8, pickup: 'coil' } as const;
  expect(sparkSpacingDeg(engine)).toBe(90); // 720 / 8
  for (const cylinder of [0, 1, 2, 3])
    expect(sparkAdvanceDeg((26 + 90 * cylinder) / 360, 3000, at60, 90)).toBeCloseTo(34, 9);
  expect(sparkSpacingDeg({ strokes: 2, cylinders: 2, pickup: 'coil' })).toBe(180);
  expect(sparkSpacingDeg({ strokes: 4, cylinders: 1, pickup: 'coil' })).toBe(360);
  expect(sparkSpacingDeg({ strokes: 4, cylinders: 8, pickup: 'plug' })).toBe(360);
});
test('with an odd number of cylinders the sparks of the second turn are taken against their own cylinders too', () => {
  // Five cylinders fire every 144 degrees; of ten sparks five fall on whole turns plus 0, 72, 144, 216 and 288 (arithmetic).
  for (const [cylinders, spacing] of [
    [3, 120],
    [5, 72],
  ] as const) {
    const engine = { strokes: 4, cylinders, pickup: 'coil' } as const;
    expect(sparkSpacingDeg(engine)).toBe(spacing);
    for (let spark = 0; spark < cylinders; spark++) {
      const turns = ((26 + (spark * 720) / cylinders) / 360) % 1; // since the last pulse
      expect(sparkAdvanceDeg(turns, 3000, at60, spacing)).toBeCloseTo(34, 9);
    }
  }
});

describe('the crank between its pulses', () => {
  const turnsOf = (
    times: readonly number[],
    turns: readonly number[] = times.map((_, i) => +(i > 0)),
  ): CrankTurns => {
    const crank = new CrankTurns(2);
    times.forEach((timeS, i) => crank.add(timeS, turns[i]!, 0));
    return crank;
  };
  // Turns t + 2 t² + t³: speed 1 + 4 t + 3 t² turns a second.
  const turnsAt = (t: number): number => t + 2 * t * t + t ** 3;
  const timeOf = (turns: number): number => {
    let [low, high] = [0, 10];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (turnsAt(middle) < turns) low = middle;
      else high = middle;
    }
    return low;
  };

  test('is followed while its speed changes', () => {
    const inverse = turnsOf([0, 1, 2, 3, 4].map((turn) => timeOf(turn + 3)));
    const timeS = timeOf(5.25);
    const { turns, sdTurns } = inverse.at(timeS, 3)!;
    expect(Math.abs(turns - 0.25)).toBeLessThan(0.05 / 360); // a twentieth of a degree
    expect(Math.abs(turns - 0.25)).toBeLessThan(2 * sdTurns);
    expect(inverse.at(timeS, 3)!.rpm / 60).toBeCloseTo(1 + 4 * timeS + 3 * timeS ** 2, 2);
  });
  test('a missing pulse moves nothing', () => {
    const crank = turnsOf([0, 0.1, 0.3, 0.4, 0.5], [0, 1, 2, 1, 1]);
    expect(crank.at(0.225, 3)!.turns).toBeCloseTo(1.25, 9);
    expect(crank.at(0.225, 3)!.rpm).toBeCloseTo(600, 6);
  });
  test('nothing is said far from any pulse, nor over a gap', () => {
    const crank = turnsOf([1, 1.1, 1.2, 2, 2.1], [0, 1, 1, 0, 1]);
    for (const timeS of [0.8, 1.5, 2.2]) expect(crank.at(timeS, 3)).toBeNull();
    expect(turnsOf([0, 0.5], [0, 5]).at(0.2, 3)).toBeNull();
  });
  test('before the first pulse and after the last the speed is carried on, and said so', () => {
    // Constant acceleration: turns t + 2 t², so t = (√(1 + 8 turns) − 1) / 4.
    const evenly = (turns: number): number => (Math.sqrt(1 + 8 * turns) - 1) / 4;
    const crank = turnsOf([3, 4, 5, 6, 7].map(evenly));
    const early = crank.at(evenly(2.5), 3)!;
    expect([early.isBeyond, crank.at(evenly(5.25), 3)!.isBeyond]).toEqual([true, false]);
    // three pulses alone do not rule out that a turn was counted wrong: what is told leans towards that by its odds
    expect(Math.abs(early.turns - 0.5)).toBeLessThan(0.2 / 360);
    expect(Math.abs(early.turns - 0.5)).toBeLessThan(2 * early.sdTurns);
    expect(early.rpm / 60 / (1 + 4 * evenly(2.5))).toBeCloseTo(1, 2);
    const late = crank.at(evenly(7.25), 3)!;
    expect(late.isBeyond).toBe(true);
    expect(Math.abs(late.turns - 0.25)).toBeLessThan(0.2 / 360);
    expect(Math.abs(late.turns - 0.25)).toBeLessThan(2 * late.sdTurns);
  });
  test('waits for three pulses after a spark', () => {
    const crank = turnsOf([0, 0.1, 0.2]);
    expect(crank.knows(0.05)).toBe(false);
    crank.add(0.3, 1, 0);
    expect(crank.knows(0.05)).toBe(true);
  });
  test('a time between two pulses is told roughly by three, of one stretch alone', () => {
    const crank = turnsOf([0, 1, 2, 3].map((turn) => timeOf(turn + 20)));
    expect(Math.abs(crank.roughly(timeOf(22.6), 1)! - 2.6)).toBeLessThan(0.5 / 360); // half a degree
    expect(crank.roughly(timeOf(22.6), 2)).toBeNull();
    for (const turn of [19.5, 20.5, 23.5]) expect(crank.roughly(timeOf(turn), 1)).toBeNull();
  });
  test('a smooth change of speed is followed exactly with three pulses on either side', () => {
    const crank = turnsOf([0, 1, 2, 3, 4, 5, 6, 7].map((turn) => timeOf(turn + 20)));
    const timeS = timeOf(23.6);
    expect(crank.at(timeS, 3)!.turns).toBeCloseTo(0.6, 4);
    expect(crank.at(timeS, 3)!.rpm / 60).toBeCloseTo(1 + 4 * timeS + 3 * timeS ** 2, 1);
  });
  test('a corner of the speed on one side of a turn moves nothing in it', () => {
    // Twelve turns a second until turn 5, then 10 more each second: after the corner turns 5 + 12 t + 5 t².
    const afterCorner = (turn: number): number => (Math.sqrt(144 + 20 * (turn - 5)) - 12) / 10;
    const timeAt = (turn: number): number => 1 + (turn <= 5 ? (turn - 5) / 12 : afterCorner(turn));
    const crank = turnsOf([0, 1, 2, 3, 4, 5, 6, 7, 8, 9].map(timeAt));
    for (const turn of [4.3, 4.7, 5.3, 5.7]) {
      const { turns, rpm } = crank.at(timeAt(turn), 3)!;
      expect(Math.abs(turns - (turn % 1))).toBeLessThan(0.1 / 360); // a tenth of a degree
      const rate = 12 + (turn <= 5 ? 0 : 10 * afterCorner(turn));
      expect(Math.abs(rpm / 60 / rate - 1)).toBeLessThan(0.005);
    }
  });
  test.each([
    ['no pulse missing', 0.5, 999],
    ['a pulse missing just before it', 0.3, 4],
    ['a pulse missing just after it', 0.8, 6],
  ])('a hard corner of the speed within a turn moves nothing, %s', (_, cornerIn, missing) => {
    // 15 turns a second (900 rpm) until 5 turns and a share, then 120 more each second (900 to 4500 rpm in half a second):
    // after the corner 15 t + 60 t² turns.
    const cornerAt = 5 + cornerIn;
    const after = (turn: number): number => (Math.sqrt(225 + 240 * (turn - cornerAt)) - 15) / 120;
    const timeAt = (turn: number): number => 1 + (turn <= cornerAt ? (turn - cornerAt) / 15 : after(turn));
    const heard = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10].filter((turn) => turn !== missing);
    const crank = turnsOf(
      heard.map(timeAt),
      heard.map((turn, i) => (i === 0 ? 0 : turn - heard[i - 1]!)),
    );
    for (const turn of [5.1, 5.4, 5.6, 5.9]) {
      const { turns, rpm } = crank.at(timeAt(turn), 3)!;
      const from = heard.filter((each) => each <= turn).at(-1)!;
      expect(Math.abs(turns - (turn - from))).toBeLessThan(0.1 / 360); // a tenth of a degree
      const rate = 15 + (turn <= cornerAt ? 0 : 120 * after(turn));
      expect(Math.abs(rpm / 60 / rate - 1)).toBeLessThan(0.005);
    }
  });
});
