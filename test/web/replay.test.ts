import { expect, test } from 'vitest';
import type { Reading } from '../../core/job';
import { BY_LIGHT } from '../../core/new-job';
import { pinnedReadings, speedAt, stretchAt } from '../../web/replay/moments';
import { strikeClicks } from '../../web/replay/strike-clicks';

const reading = (id: string, timeS: number | null): Reading => ({
  ...{ id, at: '2026-05-02T10:00:00Z', timeS, rpm: 1000, rpmSd: 2, seenDeg: 12, ...BY_LIGHT },
  ...{ steady: true, stepRpm: null, note: '' },
});

test('readings that were heard come in the order of time, typed ones are left out', () => {
  const readings = [reading('late', 30), reading('typed', null), reading('early', 4)];
  expect(pinnedReadings(readings).map(({ id }) => id)).toEqual(['early', 'late']);
});

// 1000 rpm for 10 s, then 2000 rpm: a strike every tenth of a second
const timeS = Float64Array.from({ length: 200 }, (_, i) => i / 10);
const trace = {
  timeS,
  rpm: timeS.map((t) => (t < 10 ? 1000 : 2000)),
  rpmSd: timeS.map(() => 3),
};

test('another moment has the speed of the stretch before it, and nothing of what came after', () => {
  expect(speedAt(trace, 9.95)).toEqual({ rpm: 1000, rpmSd: 0, steady: true });
  expect(speedAt(trace, 15)).toEqual({ rpm: 2000, rpmSd: 0, steady: true });
  expect(speedAt(trace, 10.5)!.steady).toBe(false);
  expect(speedAt(trace, -1)).toBeNull();
});

test('the mark was watched for about a second and a half before the key', () => {
  const [from, to] = stretchAt(trace, 15.04)!;
  expect(from).toBeCloseTo(13.5, 9);
  expect(to).toBe(15);
  expect(stretchAt(trace, -1)).toBeNull();
});

test('each strike in the stretch is a click at its own sample, silence between, none from outside', () => {
  const samples = strikeClicks([0.9, 1.1, 1.5, 2.5], [1, 2], 48_000);
  expect(samples).toHaveLength(48_000);
  const loud = (atS: number): number =>
    Math.max(...samples.subarray((atS - 1) * 48_000, (atS - 1) * 48_000 + 96));
  expect(loud(1.1)).toBeGreaterThan(0.1);
  expect(loud(1.5)).toBeGreaterThan(0.1);
  expect(samples.subarray(0, 4_800).every((sample) => sample === 0)).toBe(true);
  expect(samples.subarray(24_000 + 200).every((sample) => sample === 0)).toBe(true);
});
