import { describe, expect, test } from 'vitest';
import { agree, forecastRecord } from '../../../core/forecast/record';
import { springJob } from '../../helpers/spring-job';

describe('forecast and result', () => {
  const { job } = springJob(33, [
    ['middle', 'usual'],
    ['light', 'usual'],
    ['light', 'long'],
    ['light', 'long'],
  ]);
  const record = forecastRecord(job);

  test('each run with parts known before, not yet run together, has its forecast beside it', () => {
    expect(record.results.map(({ runId, fromRunId }) => [runId, fromRunId])).toEqual([
      ['run-1', 'run-0'],
      ['run-2', 'run-1'],
    ]);
  });

  test('forecasts of a simulated distributor agree with what was read afterwards', () => {
    for (const { agreeingShare, meanOffDeg, text } of record.results) {
      expect(agreeingShare).toBeGreaterThan(0.85); // two bands of 95 %
      expect(meanOffDeg).toBeLessThan(1);
      expect(text).toMatch(/The curve agreed at \d+ % of the speeds read, \d\.\d degrees apart/);
    }
    expect(record.text).toMatch(/^2 forecasts so far/);
  });

  test('springs that are not what their rate says show up as a forecast that failed', () => {
    // the light ones hung as if they were as strong as the middle ones
    const springs = job.parts.springs.map((spring) => ({ ...spring, hung: { massG: 500, stretchMm: 10 } }));
    const wrong = forecastRecord({ ...job, parts: { ...job.parts, springs }, runs: job.runs.slice(0, 2) });
    expect(wrong.results[0]!.agreeingShare).toBeLessThan(0.9);
    expect(wrong.results[0]!.meanOffDeg).toBeGreaterThan(1);
    const { allInRpm } = wrong.results[0]!;
    expect(allInRpm!.agrees).toBe(false);
    expect(wrong.results[0]!.text).toContain('outside both intervals');
  });

  test('without a forecast there is no record', () => {
    expect(forecastRecord({ ...job, runs: job.runs.slice(0, 1) })).toEqual({ results: [], text: null });
    expect(forecastRecord({ ...job, setUps: [] })).toEqual({ results: [], text: null });
  });
});

// By hand: half widths 3 and 4 add to 5.
test('two figures agree where their difference is within the interval of the difference', () => {
  const a = { value: 10, low: 7, high: 13 };
  expect(agree(a, { value: 14.9, low: 10.9, high: 18.9 })).toBe(true);
  expect(agree(a, { value: 15.1, low: 11.1, high: 19.1 })).toBe(false);
});
