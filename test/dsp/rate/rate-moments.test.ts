import { expect, test } from 'vitest';
import { KINDS } from '../../../dsp/rate/rate-kinds';
import { A, AA, B, BB, N, RATE, RR, SIZE } from '../../../dsp/rate/rate-model';
import { ELSE, MOMENTS, momentsOf } from '../../../dsp/rate/rate-moments';

const SLOW_S = 0.13;
const UNEVEN = KINDS.findIndex(({ uneven, change, fades }) => uneven > 5e-3 && change === 0 && !fades);

/** One model alone: 10 Hz, and half of what is usual known of the speed as the cycle begins, nothing of that as it ends. */
function model(): { x: Float64Array; weights: Float64Array; usual: number } {
  const usual = (10 * KINDS[UNEVEN]!.uneven) ** 2;
  const x = new Float64Array(N * SIZE);
  const weights = new Float64Array(N);
  weights[UNEVEN] = 1;
  const at = UNEVEN * SIZE;
  x[at + RATE] = 10;
  x[at + RR] = 0.04;
  x[at + A] = 0.01;
  x[at + AA] = usual / 2;
  x[at + BB] = usual;
  return { x, weights, usual };
}

test('a model alone is told as it is', () => {
  const { x, weights, usual } = model();
  const told = new Float64Array(MOMENTS);
  momentsOf(x, weights, SLOW_S, false, told);
  expect([...told.subarray(0, 5)]).toEqual([0, 10, 0, 0.01, 0]);
  expect(told[10]).toBeCloseTo(0.04, 12); // of the rate
  expect(told[17]! / usual).toBeCloseTo(0.5, 9);
  expect(told[19]! / usual).toBeCloseTo(1, 9);
  expect(told[ELSE]! / usual).toBeCloseTo(0.14, 9);
});

test('what is usual is left out: twice the information less once the usual is once, and its mean counts twice', () => {
  const { x, weights, usual } = model();
  const told = new Float64Array(MOMENTS);
  momentsOf(x, weights, SLOW_S, true, told);
  expect(told[17]! / usual).toBeCloseTo(1, 9); // 1 / (2 / usual - 1 / usual)
  expect(told[3]).toBeCloseTo(0.02, 9); // (0.01 * 2 / usual) * usual
  expect(told[19]! / usual).toBeGreaterThan(100); // as good as nothing is told of the end
  expect(x[UNEVEN * SIZE + A + 0]).toBe(0.01); // the model itself stays
  expect(x[UNEVEN * SIZE + B]).toBe(0);
});

test('models that disagree are told with what lies between them', () => {
  const x = new Float64Array(N * SIZE);
  const weights = new Float64Array(N);
  weights[0] = weights[1] = 0.5;
  x[RATE] = 9;
  x[SIZE + RATE] = 11;
  const told = new Float64Array(MOMENTS);
  momentsOf(x, weights, SLOW_S, false, told);
  expect(told[1]).toBe(10);
  expect(told[10]).toBe(1); // (1 + 1) / 2
});
