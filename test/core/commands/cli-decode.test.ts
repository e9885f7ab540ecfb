import { expect, test } from 'vitest';
import { BadInput, BadUsage, type OptionValues } from '../../../core/commands/cli-command';
import { decodeCommand } from '../../../core/commands/cli-decode';
import { STRIKES_HEADER, TRACE_HEADER } from '../../../core/files/csv-trace';
import { PLAIN_SCENARIO } from '../../../core/scenario/scenario';
import { simulate } from '../../../core/scenario/simulate';
import { encodeFrames, wavHeader, wavTail, type WavSpec } from '../../../dsp/wav/wav-writer';
import { runInMemory, type MemoryRun } from '../../helpers/memory-io';
import { formatBody, joined, riff } from '../../helpers/wav-bytes';

// A made engine, its truth from the model that made it: 2000 rpm held, one plug lead of a four-stroke, 60 ms a strike.
const SECONDS = 4;
const made = simulate({ ...PLAIN_SCENARIO, seconds: SECONDS });
const blocks = [...made.blocks].map((channels) => channels.map((channel) => channel.slice()));
const truth = made
  .takeStrikes()
  .flatMap(({ timeS, rpm, fate }) => (fate === 'fired' && timeS !== null ? [{ timeS, rpm }] : []));
const spec: WavSpec = { sampleRateHz: made.sampleRateHz, channelCount: 1, coding: 'int16' };
const RECORDING = joined(
  wavHeader(spec, made.frames),
  ...blocks.map((block) => encodeFrames(spec, block)),
  wavTail(spec, made.frames),
);

const decode = (files: readonly string[], values: OptionValues = {}, disk = {}): Promise<MemoryRun> =>
  runInMemory(decodeCommand, files, values, { 'a.wav': RECORDING, ...disk });
const numbers = (csv: string, column: number): number[] =>
  csv
    .trim()
    .split('\r\n')
    .slice(1)
    .map((line) => Number(line.split(',')[column]));

test('strikes and trace are written as the contract has them, and tell the truth', async () => {
  const { written, allWell } = await decode(['a.wav'], { strikes: 's.csv', trace: 't.csv' });
  expect(allWell).toBe(true);
  const strikes = written['s.csv']!;
  expect(strikes.startsWith(STRIKES_HEADER)).toBe(true);
  const times = numbers(strikes, 0);
  expect(times.length).toBe(truth.length);
  // A strike's time is where its shape first stands at half its height: within a sample of its onset, and the same place
  // in each. What counts is the way between strikes, to a fifth of a sample, for they are timed between samples.
  const late = times.map((timeS, i) => timeS - truth[i]!.timeS);
  const usual = [...late].sort((x, y) => x - y)[Math.floor(late.length / 2)]!;
  expect(Math.abs(usual)).toBeLessThan(1 / made.sampleRateHz);
  late.forEach((lateS) => expect(Math.abs(lateS - usual)).toBeLessThan(0.2 / made.sampleRateHz));
  const trace = written['t.csv']!;
  expect(trace.startsWith(TRACE_HEADER)).toBe(true);
  expect(
    trace
      .trim()
      .split('\r\n')
      .slice(1)
      .every((line) => /^\d+\.\d{9},\d+\.\d{3},\d[\d.]*,following$/.test(line)),
  ).toBe(true);
  const settled = numbers(trace, 1).slice(10);
  expect(settled.length).toBeGreaterThan(truth.length - 15);
  settled.forEach((rpm) => expect(Math.abs(rpm / 2000 - 1)).toBeLessThan(0.01)); // the engine itself wanders by 0.3 %
});

test('the JSON summary is one line with a unit in each name', async () => {
  const { said } = await decode(['a.wav'], { json: true });
  expect(said.length).toBe(1);
  const summary = JSON.parse(said[0]!) as Record<string, unknown>;
  expect(Object.keys(summary)).toEqual([
    'file',
    'duration_s',
    'sample_rate_hz',
    'channels',
    'channel',
    'strikes',
    'missed',
    'set_aside',
    'slips',
    'slipped_s',
    'rpm_min',
    'rpm_median',
    'rpm_max',
    'state',
    'reason',
    'peak_share',
    'rms_share',
    'clipped_share',
    'hum_amplitude_share',
    'hum_hz',
    'steady_tone',
    'strike_to_noise_db',
    'warnings',
  ]);
  expect(summary).toMatchObject({
    file: 'a.wav',
    duration_s: SECONDS,
    sample_rate_hz: 48_000,
    channels: 1,
    channel: 1,
    strikes: truth.length,
    state: 'following',
    reason: null,
    warnings: [],
  });
  expect(Number(summary['rpm_median']) / 2000).toBeCloseTo(1, 2);
});

test('the summary in words gives every figure its unit', async () => {
  const { said } = await decode(['a.wav']);
  expect(said.length).toBe(1);
  expect(said[0]).toContain('a.wav: 4.000 s at 48000 Hz, channel 1 of 1');
  expect(said[0]).toMatch(/strikes: \d+ accepted, \d+ missed, \d+ set aside/);
  expect(said[0]).toMatch(/speed: [\d.]+ to [\d.]+ rpm, median [\d.]+ rpm/);
});

test('the same strikes mean twice the speed on a four-stroke plug lead as on a two-stroke', async () => {
  const rpm = async (values: OptionValues): Promise<number> => {
    const { said } = await decode(['a.wav'], { ...values, json: true });
    return (JSON.parse(said[0]!) as { rpm_median: number }).rpm_median;
  };
  const four = await rpm({});
  expect((await rpm({ stroke: '2' })) / four).toBeCloseTo(0.5, 3);
  expect((await rpm({ pickup: 'wasted' })) / four).toBeCloseTo(0.5, 3);
  expect((await rpm({ pickup: 'coil', cylinders: '4' })) / four).toBeCloseTo(0.25, 3); // four strikes in two turns
});

test('silence has no speed, says so, and writes only the headers', async () => {
  const silent = riff([
    { id: 'fmt ', body: formatBody() },
    { id: 'data', body: new Uint8Array(96_000) },
  ]);
  const { said, written } = await decode(
    ['q.wav'],
    { json: true, trace: 't', strikes: 's' },
    { 'q.wav': silent },
  );
  expect(JSON.parse(said[0]!)).toMatchObject({
    strikes: 0,
    rpm_min: null,
    rpm_median: null,
    rpm_max: null,
    reason: 'silence',
  });
  expect(written).toEqual({ t: TRACE_HEADER, s: STRIKES_HEADER });
});

test('a recording of no length at all has a summary too', async () => {
  const empty = riff([
    { id: 'fmt ', body: formatBody() },
    { id: 'data', body: new Uint8Array(0) },
  ]);
  const { said } = await decode(['e.wav'], { json: true }, { 'e.wav': empty });
  expect(JSON.parse(said[0]!)).toMatchObject({ duration_s: 0, strikes: 0, rpm_median: null });
});

test('a file that ends early is decoded as far as it goes, with a warning beside the answer', async () => {
  const { said, warned } = await decode(
    ['c.wav'],
    { json: true },
    { 'c.wav': RECORDING.subarray(0, 200_000) },
  );
  expect(warned).toEqual([expect.stringMatching(/^c\.wav: ends early: \d+ of the 192000 frames/)]);
  expect((JSON.parse(said[0]!) as { warnings: string[] }).warnings.length).toBe(1);
});

test('several recordings give a line each; a bad one among them is named and the others still come', async () => {
  const run = await decode(
    ['a.wav', 'b.wav', 'none.wav', 'a.wav'],
    { json: true },
    { 'b.wav': 'not sound at all' },
  );
  expect(run.allWell).toBe(false);
  expect(run.said.length).toBe(2);
  expect(run.warned).toEqual([
    'b.wav: is not a WAV recording: it starts with "not " where RIFF, RIFX or RF64 was wanted',
    'none.wav: cannot be read: there is no such file or folder',
  ]);
});

test.each([
  ['no file', [], {}, /a WAV file is wanted/],
  ['a trace of two files', ['a.wav', 'b.wav'], { trace: 't.csv' }, /one recording at a time/],
  ['both outputs in one file', ['a.wav'], { trace: 'x', strikes: 'x' }, /must name different files/],
  ['a stroke that is none', ['a.wav'], { stroke: '3' }, /--stroke must be 4 or 2, got "3"/],
  [
    'a pick-up that is none',
    ['a.wav'],
    { pickup: 'ear' },
    /--pickup must be plug, wasted, coil or sensor, got "ear"/,
  ],
  ['a coil lead of an unknown engine', ['a.wav'], { pickup: 'coil' }, /--pickup coil needs --cylinders/],
  [
    'too many cylinders',
    ['a.wav'],
    { cylinders: '25' },
    /--cylinders must be a whole number from 1 to 24, got "25"/,
  ],
  ['half a channel', ['a.wav'], { channel: '1.5' }, /--channel must be a whole number from 1/],
  ['channel 0', ['a.wav'], { channel: '0' }, /--channel must be a whole number from 1/],
  [
    'a crank reference',
    ['a.wav'],
    { 'reference-channel': '2' },
    /needs both --reference-channel and --reference-deg/,
  ],
  ['its angle', ['a.wav'], { 'reference-deg': '60' }, /needs both --reference-channel and --reference-deg/],
  [
    'one channel for both',
    ['a.wav'],
    { 'reference-channel': '1', 'reference-deg': '60' },
    /--channel and --reference-channel must differ, both are 1/,
  ],
  [
    'sparks of a crank sensor alone',
    ['a.wav'],
    { pickup: 'sensor', 'reference-channel': '2', 'reference-deg': '60' },
    /--pickup sensor has no sparks/,
  ],
  ['its output', ['a.wav'], { advance: 'A.csv' }, /--advance needs --reference-channel/],
])('a wrong command line is refused in words: %s', async (_, files, values, message) => {
  await expect(decode(files, values)).rejects.toThrow(BadUsage);
  await expect(decode(files, values)).rejects.toThrow(message);
});

test('a channel that the recording has not got, and a rate that carries no strikes, are refused with the file', async () => {
  await expect(decode(['a.wav'], { channel: '2' })).rejects.toThrow(
    new BadInput('a.wav: has 1 channel and no channel 2'),
  );
  const slow = riff([
    { id: 'fmt ', body: formatBody({ rateHz: 1234 }) },
    { id: 'data', body: new Uint8Array(100) },
  ]);
  await expect(decode(['s.wav'], {}, { 's.wav': slow })).rejects.toThrow(
    's.wav: has a sample rate of 1234 Hz; strikes can be followed from 4000 to 1000000 Hz',
  );
  const low = riff([
    { id: 'fmt ', body: formatBody({ rateHz: 8000 }) },
    { id: 'data', body: new Uint8Array(100) },
  ]);
  const manyStrikes = { pickup: 'coil', cylinders: '24', stroke: '2' };
  await expect(decode(['l.wav'], manyStrikes, { 'l.wav': low })).rejects.toThrow(
    'l.wav: has a sample rate of 8000 Hz, too low for as many strikes as this engine may give',
  );
});
