/** Files out of the store and back into it: what was kept comes out whole, what is no good changes nothing. */
import { beforeEach, expect, test } from 'vitest';
import wavefile from 'wavefile';
import { encodeFrames } from '../../dsp/wav/wav-writer';
import { importJob } from '../../web/files/job-files';
import { jobFileText } from '../../web/files/job-text';
import { jobFileName, runFileName, safeName } from '../../web/files/names';
import { readingsCsv, soundWavs, traceCsv } from '../../web/files/run-files';
import { appendSound, appendTrace, readTrace } from '../../web/store/trace-store';
import type { JobDesk } from '../../web/state/job.svelte';
import { emptyStore, openDesk } from './job-desk-helpers';

beforeEach(emptyStore);

const TIMES = Float64Array.of(0.1, 0.2, 0.3);
const SPEEDS = Float64Array.of(900.5, NaN, 901.25);
const SPREADS = Float64Array.of(2, NaN, 3);

/** A desk with a run of two readings and a trace with a gap. */
async function deskWithRun(): Promise<JobDesk> {
  const desk = await openDesk();
  desk.change({ name: 'Bench engine' });
  await desk.startRun(null, false);
  desk.pin(1000);
  desk.read(12, 'say "when", now');
  desk.pin(1500);
  desk.read(-3.5);
  await appendTrace(desk.run!.id, { timeS: TIMES, rpm: SPEEDS, rpmSd: SPREADS });
  await desk.settled();
  return desk;
}

const fileOf = (text: string, name = 'saved.json'): File => new File([text], name);

test('a job saved and opened where it is not is the same job, its trace with it', async () => {
  const desk = await deskWithRun();
  const text = await jobFileText(desk.job!);
  const trace = await readTrace(desk.run!.id);
  await desk.endRun();
  const { job } = desk;
  await emptyStore();
  const other = await openDesk();
  await other.openJobFile(fileOf(text));
  expect(other.problem).toBeNull();
  expect(other.job).toEqual(job);
  await other.settled();
  expect(await readTrace(job!.runs[0]!.id)).toEqual(trace);
  expect(await jobFileText(other.job!)).toBe(text);
  expect(other.run).toBeNull(); // a run from a file does not go on
});

test('a job opened where it is stays, and the one from the file comes beside it with ids of its own', async () => {
  const desk = await deskWithRun();
  const text = await jobFileText(desk.job!);
  const before = desk.job!;
  await desk.openJobFile(fileOf(text));
  expect(desk.problem!.text).toBe(
    'This job was here already: both are kept, the file’s as “Bench engine (copy)”.',
  );
  expect(desk.job!.id).not.toBe(before.id);
  expect(desk.job!.runs[0]!.readings.map(({ seenDeg, note }) => [seenDeg, note])).toEqual(
    before.runs[0]!.readings.map(({ seenDeg, note }) => [seenDeg, note]),
  );
  await desk.settled();
  expect((await readTrace(desk.job!.runs[0]!.id)).timeS).toEqual(TIMES);
  await desk.openJob(before.id);
  expect(desk.job!.runs.map(({ id, readings }) => [id, readings])).toEqual(
    before.runs.map(({ id, readings }) => [id, readings]),
  );
});

test('a file that is not ours, cut short, later or damaged changes nothing and says why', async () => {
  const desk = await deskWithRun();
  const text = await jobFileText(desk.job!);
  const files = [
    ['notes.json', '{"a": 1}', 'is not a Clampline job file'],
    ['photo.jpg', '\u00ff\u00d8\u00ff', 'is not a Clampline job file'],
    ['empty.json', '', 'is not a Clampline job file'],
    ['short.json', text.slice(0, -40), 'is cut short'],
    ['later.json', text.replace(/"version": \d+/, '"version": 99'), 'was written by a later Clampline'],
    ['odd.json', text.replace('"rpm": 1000', '"rpm": "fast"'), 'is damaged: run 1, reading 1, rpm'],
  ] as const;
  const before = [desk.job, desk.run, desk.jobs];
  for (const [name, content, why] of files) {
    await desk.openJobFile(fileOf(content, name));
    expect(desk.problem!.text).toMatch(new RegExp(`^${name} ${why}.*\\. Nothing was changed\\.$`));
  }
  expect([desk.job, desk.run, desk.jobs]).toEqual(before);
});

test('a file beyond every size is refused by its size alone, before a byte of it is read', async () => {
  const desk = await deskWithRun();
  for (const open of [desk.openJobFile, desk.bringBackJobs]) {
    const file = Object.defineProperties(fileOf('{}', 'film.json'), {
      size: { value: 3 * 2 ** 30 },
      text: { value: () => Promise.reject(new Error('it was read')) },
    });
    await open(file);
    expect(desk.problem!.text).toMatch(
      /^film\.json holds 3072 MB where a (job file|backup) has 256 MB at most\. Nothing was changed\.$/,
    );
  }
});

test('two readings of a file with one id between them both come in', async () => {
  const desk = await deskWithRun();
  const [first] = desk.run!.readings;
  const text = await jobFileText({
    ...desk.job!,
    runs: [desk.run!, { ...desk.run!, id: 'second', readings: [first!] }],
  });
  await emptyStore();
  let made = 0;
  const read = await importJob(fileOf(text), () => `new ${(made += 1)}`);
  if ('problem' in read) throw new Error(read.problem);
  const ids = read.job.runs.flatMap(({ readings }) => readings.map(({ id }) => id));
  expect(new Set(ids).size).toBe(3);
});

/** Cells by plain splitting; the note with its quotes is taken apart by hand below. */
test('readings as CSV carry advance with corrections, and quoted notes', async () => {
  const desk = await deskWithRun();
  desk.changeRun(desk.run!.id, {
    corrections: { tapeZeroErrorDeg: 0.5, tapeZeroSdDeg: null, lightDelayUs: 100 },
  });
  const lines = (await readingsCsv(desk.run!).text()).split('\r\n');
  expect(lines[0]).toBe('rpm,advance_deg,rpm_sd,seen_deg,steady,step_rpm,time_s,at,note');
  // 12 - 0.5 + 6 x 1000 rpm x 100 us = 12.1; -3.5 - 0.5 + 6 x 1500 x 1e-4 = -3.1 (hand arithmetic)
  expect(Number(lines[1]!.split(',')[1])).toBeCloseTo(12.1, 9);
  expect(Number(lines[2]!.split(',')[1])).toBeCloseTo(-3.1, 9);
  expect(lines[1]).toContain('"say ""when"", now"');
  expect(lines).toHaveLength(4);
});

test('the trace as CSV has every row, a gap as a row without a speed', async () => {
  const desk = await deskWithRun();
  expect(await (await traceCsv(desk.run!.id))!.text()).toBe(
    'time_s,rpm,rpm_sd,state\r\n0.100000000,900.500,2.00,following\r\n0.200000000,,,lost\r\n0.300000000,901.250,3.00,following\r\n',
  );
  expect(await traceCsv('another run')).toBeNull();
});

test('a trace longer than one part of the file comes out whole', async () => {
  const timeS = Float64Array.from({ length: 25_001 }, (_, i) => i / 100);
  await appendTrace('long', { timeS, rpm: timeS, rpmSd: timeS });
  const lines = (await (await traceCsv('long'))!.text()).trim().split('\r\n');
  expect(lines.slice(1).map((line) => Number(line.split(',')[0]))).toEqual([...timeS]);
});

test('kept sound comes out as a WAV that an independent library reads', async () => {
  const spec = { sampleRateHz: 44_100, channelCount: 2, coding: 'int24' } as const;
  const left = Float32Array.of(0.5, -0.25, 0);
  const right = Float32Array.of(-1, 0.125, 0.75);
  const bytes = new Blob([encodeFrames(spec, [left, right])]);
  await appendSound('run', { startS: 2, frames: 3, spec, bytes });
  await appendSound('run', { startS: 2 + 4 / 44_100, frames: 3, spec, bytes });
  const [wav, ...more] = await soundWavs('run');
  expect(more).toEqual([]);
  const read = new wavefile.WaveFile(new Uint8Array(await wav!.arrayBuffer()));
  expect(read.fmt).toMatchObject({ sampleRate: 44_100, numChannels: 2, bitsPerSample: 24 });
  const [one, two] = read.getSamples(false) as unknown as [Float64Array, Float64Array];
  const full = 2 ** 23;
  expect([...one].map((sample) => sample / full)).toEqual([0.5, -0.25, 0, 0, 0.5, -0.25, 0]);
  expect([...two].map((sample) => sample / full)).toEqual([-1, 0.125, 0.75, 0, -1, 0.125, 0.75]);
  expect(await soundWavs('another run')).toEqual([]);
});

test('names of files keep letters of any script and nothing that a file system minds', () => {
  expect(safeName('V8 / 5.7 "bench": <test>|?*\\')).toBe('V8-5-7-bench-test');
  expect(safeName('  Motor für Prüfstand №1  ')).toBe('Motor-für-Prüfstand-1');
  expect(safeName('../../etc/passwd')).toBe('etc-passwd');
  expect(safeName('...')).toBe('job');
  expect(Array.from(safeName('é'.repeat(300)))).toHaveLength(60);
  expect(jobFileName('My engine')).toBe('clampline-My-engine.json');
  const local = new Date(2026, 9, 14, 17, 5).toISOString();
  expect(runFileName('My engine', { startedAt: local }, 'readings.csv')).toBe(
    'clampline-My-engine-2026-10-14-1705-readings.csv',
  );
  expect(runFileName('x', { startedAt: 'no date' }, 'trace.csv')).toBe('clampline-x-undated-trace.csv');
});
