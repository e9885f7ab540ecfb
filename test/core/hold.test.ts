import { expect, test } from 'vitest';
import { Hold } from '../../core/hold';

// Expected values: hand arithmetic on the band as written: 1.5 % of 2000 rpm is 30 rpm, steady after 1.5 s; the mean of the last 0.6 s is judged.
function run(speeds: readonly (readonly [number, number | null])[]): ReturnType<Hold['take']> {
  const hold = new Hold(2000);
  let state = hold.stateAt(0);
  for (const [timeS, rpm] of speeds) state = hold.take(timeS, rpm);
  return state;
}
const kept = (rpm: number, fromS: number, toS: number): [number, number][] =>
  Array.from({ length: Math.round((toS - fromS) / 0.05) + 1 }, (_, i) => [fromS + 0.05 * i, rpm]);

test('a speed inside the band is steady once it has stayed there for one and a half seconds', () => {
  expect(run(kept(2029, 0, 1.4)).steady).toBe(false);
  const state = run(kept(2029, 0, 1.6));
  expect(state).toMatchObject({ steady: true, offRpm: 29 });
  expect(state.heldS).toBeCloseTo(1.6, 9);
});

test('a speed outside the band never becomes steady, and says how far off it is', () => {
  expect(run(kept(1940, 0, 5))).toEqual({ steady: false, offRpm: -60, heldS: 0 });
});

test('once steady, a speed between one and two bands off keeps the hold', () => {
  expect(run([...kept(2000, 0, 1.6), ...kept(2055, 1.65, 3)]).steady).toBe(true);
});

test('one odd cycle does not end a hold; staying away does', () => {
  expect(run([...kept(2000, 0, 1.6), [1.65, 2070], ...kept(2000, 1.7, 1.8)]).steady).toBe(true);
  expect(run([...kept(2000, 0, 1.6), ...kept(2070, 1.65, 2.7)]).steady).toBe(false);
});

test('without a speed for longer than a second and a half there is no hold', () => {
  expect(run([...kept(2000, 0, 1.6), [3.2, null]])).toEqual({ steady: false, offRpm: null, heldS: 0 });
});

test('a step of no speed is refused', () => {
  expect(() => new Hold(0)).toThrow('a step must be above 0 rpm, got 0');
});

// An uneven idle: each cycle within 8 % of 800 rpm, their mean on it (SIGNAL ranges: a long cam's idle).
test('an idle that varies by 8 % from cycle to cycle about the step is held', () => {
  const hold = new Hold(800);
  const parts = [1, -1, 0.4, -0.6, 0.8, -0.6];
  let state = hold.stateAt(0);
  for (let i = 0; i < 60; i++) state = hold.take(i * 0.15, 800 * (1 + 0.08 * parts[i % parts.length]!));
  expect(state.steady).toBe(true);
});

test('a speed that sweeps through the step at 300 rpm a second is not called steady', () => {
  const hold = new Hold(2000);
  for (let timeS = 0; timeS < 5; timeS += 0.05)
    expect(hold.take(timeS, 1250 + 300 * timeS).steady).toBe(false);
});
