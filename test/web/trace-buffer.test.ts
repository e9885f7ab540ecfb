/** The trace's columns in the worker and on the page: expected values are hand arithmetic. */
import { describe, expect, test } from 'vitest';
import { PageTrace } from '../../web/state/page-trace';
import { TraceBuffer } from '../../web/worker/trace-buffer';

describe('the trace', () => {
  test('keeps all rows however many come, and what a view shows stays as it was', () => {
    const buffer = new TraceBuffer();
    buffer.add(0, 800, 1);
    const first = buffer.view();
    for (let i = 1; i < 5000; i++) buffer.add(i, 800 + i, 1);
    expect([first.timeS.length, first.rpm[0]]).toEqual([1, 800]);
    expect([buffer.length, buffer.endS, buffer.view().rpm[4999]]).toEqual([5000, 4999, 5799]);
    expect(Array.from(buffer.copyFrom(4998).timeS)).toEqual([4998, 4999]);
  });

  test('is made better row by row by what comes later; what stands before a gap changes no more', () => {
    const buffer = new TraceBuffer();
    for (const timeS of [1, 2, 3, 4]) buffer.add(timeS, 900, 5);
    expect(buffer.settled).toBe(0);
    buffer.settle(2, 905, 1); // the row at 1 never came: it stays
    expect([buffer.settled, Array.from(buffer.view().rpm)]).toEqual([2, [900, 905, 900, 900]]);
    buffer.settle(1, 800, 1); // too late
    buffer.settle(1.5, 800, 1);
    expect([buffer.settled, Array.from(buffer.view().rpm)]).toEqual([2, [900, 905, 900, 900]]);
    expect(Array.from(buffer.copyFrom(1, buffer.settled).timeS)).toEqual([2]);
    buffer.gap(5);
    buffer.settle(4, 950, 1);
    expect([buffer.settled, buffer.view().rpm[3]]).toEqual([5, 900]);
  });

  test('gains the rows of strikes whose speed only the strikes after them carry', () => {
    const buffer = new TraceBuffer();
    buffer.settle(1, 890, 3);
    for (const timeS of [3, 5]) buffer.add(timeS, 900, 5);
    buffer.settle(2, 895, 3);
    expect([buffer.settled, Array.from(buffer.view().timeS)]).toEqual([2, [1, 2, 3, 5]]);
    for (const timeS of [3, 4, 5, 6]) buffer.settle(timeS, 900 + timeS, 1);
    const { timeS, rpm, rpmSd } = buffer.view();
    expect(Array.from(timeS)).toEqual([1, 2, 3, 4, 5, 6]);
    expect(Array.from(rpm)).toEqual([890, 895, 903, 904, 905, 906]);
    expect(Array.from(rpmSd)).toEqual([3, 3, 1, 1, 1, 1]);
    expect(buffer.settled).toBe(6);
  });

  test('has no two gaps in a row and none at its start', () => {
    const buffer = new TraceBuffer();
    buffer.gap(0);
    buffer.add(1, 900, 1);
    buffer.gap(2);
    buffer.gap(3);
    expect(Array.from(buffer.view().rpm)).toEqual([900, NaN]);
  });

  test('on the page takes rows in order, once, and goes on with another session behind them', () => {
    const rows = (fromRow: number, ...timeS: number[]) => {
      const column = Float64Array.from(timeS);
      return { fromRow, settledRow: fromRow + timeS.length, timeS: column, rpm: column, rpmSd: column };
    };
    const trace = new PageTrace();
    expect(trace.take(1, rows(0, 1, 2))).toBe(true);
    expect(trace.take(1, rows(0, 1, 2))).toBe(false); // asked for twice
    expect(trace.take(1, rows(2, 3))).toBe(true);
    trace.nextSession();
    expect(trace.take(2, rows(0, 10))).toBe(true);
    expect(Array.from(trace.view().timeS)).toEqual([1, 2, 3, 10]);
    trace.startAnew({ ...rows(0, 7) });
    expect([trace.endS, trace.haveRow]).toEqual([7, 0]);
  });

  test('on the page has rows made better in place of those that came first', () => {
    const trace = new PageTrace();
    const sent = (fromRow: number, settledRow: number, ...rpm: number[]) => ({
      ...{ fromRow, settledRow, rpm: Float64Array.from(rpm) },
      timeS: Float64Array.from(rpm, (_, i) => fromRow + i),
      rpmSd: Float64Array.from(rpm, () => 1),
    });
    trace.startAnew(null);
    expect(trace.take(1, sent(0, 1, 900, 910, 920))).toBe(true);
    expect(trace.haveRow).toBe(1); // the other two come again
    expect(trace.take(1, sent(1, 1, 910, 920))).toBe(false);
    expect(trace.take(1, sent(1, 3, 905, 915, 930))).toBe(true);
    expect(Array.from(trace.view().rpm)).toEqual([900, 905, 915, 930]);
    expect(trace.take(2, sent(0, 1, 700))).toBe(true);
    expect(Array.from(trace.view().rpm)).toEqual([900, 905, 915, 930, 700]);
  });
});
