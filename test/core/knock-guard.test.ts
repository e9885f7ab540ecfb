import { expect, test } from 'vitest';
import { knockBlock, knocksOf } from '../../core/knock-guard';
import { madeJob } from '../helpers/made-jobs';

const knock = (rpm: number) => ({ id: `k${rpm}`, at: '2026-05-01T18:20:00Z', rpm, note: '' });

test('a note stands in the way of what adds advance at its speed, and of nothing else', () => {
  const addsAbove2000 = (rpm: number): number => (rpm > 2000 ? 1 : -1);
  expect(knockBlock([knock(2600)], addsAbove2000)?.text).toBe(
    'Knock was noted at 2600 rpm: nothing that adds advance there is advised while that note stands.',
  );
  expect(knockBlock([knock(1500)], addsAbove2000)).toBeNull();
  expect(knockBlock([], addsAbove2000)).toBeNull();
  expect(knockBlock([knock(2600)], () => -2)).toBeNull();
});

test('the speed of a note is taken with 5 % about it: a little beside it is not safe', () => {
  expect(knockBlock([knock(1950)], (rpm) => (rpm > 2000 ? 1 : 0))).not.toBeNull();
  expect(knockBlock([knock(1850)], (rpm) => (rpm > 2000 ? 1 : 0))).toBeNull();
});

test('a change that is not known at the speed counts as more', () =>
  expect(knockBlock([knock(2600)], () => null)).not.toBeNull());

test('several notes are told in the order of their speeds, each speed once', () =>
  expect(knockBlock([knock(3000), knock(2600), knock(2600)], () => 1)?.text).toContain(
    'at 2600 and 3000 rpm',
  ));

test('the notes of all runs count', () => expect(knocksOf(madeJob()).map(({ rpm }) => rpm)).toEqual([2600]));
