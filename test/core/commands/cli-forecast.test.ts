/** `forecast` on the command line: text in, a JSON line out, in the order that the contract gives. */
import { describe, expect, test } from 'vitest';
import { BadInput, BadUsage } from '../../../core/commands/cli-command';
import { forecastCommand } from '../../../core/commands/cli-forecast';
import { serialiseJob } from '../../../core/files/job-file';
import type { Job, Run } from '../../../core/job';
import { madeJob } from '../../helpers/made-jobs';
import { madeRun, SQUARE } from '../../helpers/made-runs';
import { runInMemory } from '../../helpers/memory-io';

const points = madeRun(SQUARE, { seed: 8, count: 14, sdDeg: 0.5 });
const csv = `rpm,advance_deg\n${points.map(({ rpm, advanceDeg }) => `${rpm.toFixed(0)},${advanceDeg.toFixed(1)}`).join('\n')}\n`;

interface Line {
  readonly run?: string;
  readonly fitted_runs?: readonly string[];
  readonly start_rpm: { low: number; high: number } | null;
  readonly initial_deg: { value: number; low: number; high: number } | null;
  readonly all_in_rpm: { value: number; low: number; high: number } | null;
  readonly total_deg: { value: number } | null;
  readonly curve: readonly { rpm: number; advance_deg: number; low: number; high: number }[];
  readonly notes: readonly string[];
}
async function lineOf(
  values: Record<string, string>,
  disk = { 'r.csv': csv },
  file = 'r.csv',
): Promise<Line> {
  const { said, allWell } = await runInMemory(forecastCommand, [file], { ...values, json: true }, disk);
  expect(allWell).toBe(true);
  expect(said.length).toBe(1);
  return JSON.parse(said[0]!) as Line;
}

function jobWith(runs: readonly { id: string; startedAt: string; points: typeof points }[]): string {
  const job = madeJob();
  const [run] = job.runs as [Run];
  const reading = run.readings[0]!;
  const made: Job = {
    ...job,
    setUps: job.setUps.map((setUp) => ({
      ...setUp,
      ...{ firstSpringId: 'plain', secondSpringId: 'plain', stopId: 'short' },
    })),
    runs: runs.map(({ id, startedAt, points: some }) => ({
      ...run,
      ...{ id, startedAt, corrections: { ...run.corrections, tapeZeroErrorDeg: 2, lightDelayUs: 0 } },
      readings: some.map(({ rpm, advanceDeg }, i) => ({
        ...reading,
        ...{ id: `${id}-${i}`, rpm, rpmSd: null, seenDeg: advanceDeg + 2 },
      })),
    })),
  };
  return serialiseJob(made);
}

describe('the JSON line', () => {
  test('has the keys of the contract in their order, and rows of four', async () => {
    const line = await lineOf({ 'spring-factor': '0.8', 'stop-range': '18' });
    expect(Object.keys(line)).toEqual([
      ...['file', 'initial_deg', 'start_rpm', 'all_in_rpm', 'total_deg', 'range_deg', 'curve'],
      ...['hold', 'beyond_measured_deg', 'notes'],
    ]);
    expect(Object.keys(line.initial_deg!)).toEqual(['value', 'low', 'high']);
    expect(Object.keys(line.curve[0]!)).toEqual(['rpm', 'advance_deg', 'low', 'high']);
    expect(line.curve.map(({ rpm }) => rpm)).toEqual(line.curve.map((_, i) => 600 + 50 * i));
    expect(line.curve.at(-1)!.rpm).toBeGreaterThan(line.all_in_rpm!.high);
  });
  test('keeps the total unless told to keep the initial', async () => {
    const [asRead, total, initial] = [
      await lineOf({}),
      await lineOf({ 'stop-range': '15' }),
      await lineOf({ 'stop-range': '15', hold: 'initial' }),
    ];
    expect(total.total_deg!.value).toBeCloseTo(asRead.total_deg!.value, 2);
    expect(total.initial_deg!.value).toBeCloseTo(asRead.total_deg!.value - 15, 2);
    expect(initial.initial_deg).toEqual(asRead.initial_deg);
  });
  test('takes one factor for all springs, or one for each', async () => {
    const [one, two, other] = [
      await lineOf({ 'spring-factor': '0.7' }),
      await lineOf({ 'spring-factor': '0.7,0.7' }),
      await lineOf({ 'spring-factor': '0.7,1.6' }),
    ];
    expect(two).toEqual(one);
    expect(other).not.toEqual(one);
  });
});

describe('a job file', () => {
  /** With the same parts, the housing 5 degrees on, from 1800 rpm on: the start is the first run's to show. */
  const later = madeRun((rpm) => SQUARE(rpm) + 5, { seed: 9, count: 12, sdDeg: 0.5, fromRpm: 1800 });
  const disk = {
    'job.json': jobWith([
      { id: 'first', startedAt: '2026-05-01T18:00:00Z', points },
      { id: 'later', startedAt: '2026-05-02T18:00:00Z', points: later },
    ]),
  } as unknown as { 'r.csv': string };

  test('gives its latest run unless another is named, corrections made, by all runs with its parts', async () => {
    const [latest, first] = [
      await lineOf({}, disk, 'job.json'),
      await lineOf({ run: 'first' }, disk, 'job.json'),
    ];
    expect([latest.run, first.run]).toEqual(['later', 'first']);
    expect([latest.fitted_runs, first.fitted_runs]).toEqual(Array(2).fill(['first', 'later']));
    expect(Math.abs(latest.total_deg!.value - 37)).toBeLessThan(1);
    expect(latest.start_rpm!.low).toBeLessThan(1000);
    expect(latest.start_rpm!.high).toBeGreaterThan(1000);
    expect(Math.abs(first.initial_deg!.value - 12)).toBeLessThan(1);
  });
  test('without that run, or without any, is refused in one sentence', async () => {
    const none = { 'job.json': jobWith([]) };
    const asked = runInMemory(forecastCommand, ['job.json'], { run: 'no' }, disk);
    await expect(asked).rejects.toThrow('job.json: has no run "no"; its runs with readings are first, later');
    await expect(asked).rejects.toThrow(BadInput);
    await expect(runInMemory(forecastCommand, ['job.json'], {}, none)).rejects.toThrow(
      'has no run with readings',
    );
  });
});

test('the words give each figure with its interval and the curve', async () => {
  const { said } = await runInMemory(forecastCommand, ['r.csv'], { 'stop-range': '30' }, { 'r.csv': csv });
  expect(said[0]).toMatch(/initial {2}-?[\d.]+ deg \(/);
  expect(said[0]).toMatch(/ 2000 rpm [\d.]+ deg \([\d.]+ to [\d.]+\)/);
  expect(said[0]).toContain('beyond what was read');
});

describe('what is no good', () => {
  const run = (values: Record<string, string>, files = ['r.csv'], text = csv): Promise<unknown> =>
    runInMemory(forecastCommand, files, values, { 'r.csv': text });
  test.each([
    ['0', '--spring-factor must be'],
    ['x', '--spring-factor must be'],
    ['1,2,3', 'got "1,2,3"'],
    ['1,', '--spring-factor must be'],
    ['-1', '--spring-factor must be'],
  ])('a spring factor of %s is bad usage', async (text, problem) => {
    await expect(run({ 'spring-factor': text })).rejects.toThrow(BadUsage);
    await expect(run({ 'spring-factor': text })).rejects.toThrow(problem);
  });
  test('so are a range out of all reason, a hold that is neither, no file, two files, a run of a table', async () => {
    await expect(run({ 'stop-range': '0' })).rejects.toThrow(BadUsage);
    await expect(run({ hold: 'both' })).rejects.toThrow(BadUsage);
    await expect(run({}, [])).rejects.toThrow(BadUsage);
    await expect(run({}, ['r.csv', 'r.csv'])).rejects.toThrow(BadUsage);
    await expect(run({ run: 'x' })).rejects.toThrow(/--run goes with a job file/);
  });
  test('readings that show no rise, a table without them and a damaged job are bad input', async () => {
    await expect(run({}, ['r.csv'], 'rpm,advance_deg\n800,12\n')).rejects.toThrow(BadInput);
    await expect(run({}, ['r.csv'], 'rpm,advance_deg\n800,12\n')).rejects.toThrow(/r\.csv: no forecast/);
    await expect(run({}, ['r.csv'], 'a,b\n1,2\n')).rejects.toThrow(BadInput);
    await expect(run({}, ['r.csv'], '{"format": "other"}')).rejects.toThrow(/not a Clampline job file/);
    await expect(run({}, ['r.csv'], 'rpm,advance_deg\n')).rejects.toThrow(BadInput);
  });
});
