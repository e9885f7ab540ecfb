import { expect, test } from 'vitest';
import { createDecoder } from '../../core/decode';
import { PLAIN_SCENARIO } from '../../core/scenario/scenario';
import { runDecoder } from '../helpers/run-decoder';
import { scoreStrikes } from '../helpers/score-strikes';

const HELD = {
  ...PLAIN_SCENARIO,
  seconds: 5,
  profile: { corners: [{ timeS: 0, rpm: 2000 }], wanderShare: 0 },
};

test('a held engine decodes to its strikes, its speed and a summary', () => {
  const { found, truth, summary } = runDecoder(HELD);
  const score = scoreStrikes(found, truth);
  expect(score).toMatchObject({ matched: score.trueStrikes, accepted: score.trueStrikes });
  expect(summary.rpm!.median / 2000).toBeCloseTo(1, 3); // a made signal of 2000 rpm; the sparks scatter by 0.2 degrees
  expect(summary.report).toMatchObject({ state: 'following', reason: null, missed: 0 });
  expect(summary.report.strikes).toBe(found.length);
});

test('rows come in order of time, each with a deviation above 0', () => {
  const { found } = runDecoder(HELD);
  const rows = found.filter(({ rpm }) => rpm !== null);
  expect(rows.length).toBe(found.length - 1); // one strike alone has no speed
  rows.forEach((row, i) => {
    expect(row.rpmSd).toBeGreaterThan(0);
    if (i > 0) expect(row.timeS).toBeGreaterThan(rows[i - 1]!.timeS);
  });
});

const plug = { sampleRateHz: 48_000, engine: { strokes: 4, cylinders: 8, pickup: 'plug' } } as const;

test('silence gives no speed and says so', () => {
  const decoder = createDecoder(plug, {});
  decoder.push(new Float32Array(96_000));
  decoder.finish();
  expect(decoder.summary().rpm).toBeNull();
  expect(decoder.report()).toMatchObject({ state: 'listening', reason: 'silence', strikes: 0 });
});

test('lost samples count as time', () => {
  const decoder = createDecoder(plug, {});
  decoder.push(new Float32Array(48_000));
  decoder.lose(24_000);
  expect(decoder.timeS).toBe(1.5);
  expect(decoder.report().lostSamples).toBe(24_000);
});

test('a sample rate that cannot be is refused', () => {
  expect(() => createDecoder({ ...plug, sampleRateHz: 1000 }, {})).toThrow(RangeError);
});
