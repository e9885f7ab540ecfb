/** The decode command against a crank sensor on the second channel of a made recording; the truth is its maker's. */
import { expect, test } from 'vitest';
import { decodeCommand } from '../../../core/commands/cli-decode';
import { BadInput } from '../../../core/commands/cli-command';
import { PLAIN_SCENARIO } from '../../../core/scenario/scenario';
import { simulate } from '../../../core/scenario/simulate';
import { PLAIN_SENSOR } from '../../../core/scenario/sound';
import { encodeFrames, wavHeader, wavTail, type WavSpec } from '../../../dsp/wav/wav-writer';
import { runInMemory } from '../../helpers/memory-io';
import { joined } from '../../helpers/wav-bytes';

const made = simulate({
  ...PLAIN_SCENARIO,
  seconds: 5,
  curve: { kind: 'corners', corners: [{ rpm: 900, advanceDeg: 18 }] },
  sensor: { ...PLAIN_SENSOR, beforeTdcDeg: 75, missedShare: 0 },
});
const blocks = [...made.blocks].map((channels) => channels.map((channel) => channel.slice()));
const fired = made.takeStrikes().filter(({ fate }) => fate === 'fired');
const spec: WavSpec = { sampleRateHz: made.sampleRateHz, channelCount: 2, coding: 'int16' };
const RECORDING = joined(
  wavHeader(spec, made.frames),
  ...blocks.map((block) => encodeFrames(spec, block)),
  wavTail(spec, made.frames),
);
const decode = (values: Parameters<typeof runInMemory>[2]) =>
  runInMemory(decodeCommand, ['a.wav'], values, { 'a.wav': RECORDING });
const SENSOR = { 'reference-channel': '2', 'reference-deg': '75' };

test('every spark between two pulses gets its advance, as the contract has it', async () => {
  const { written, said } = await decode({ ...SENSOR, advance: 'A.csv', json: true });
  const [header, ...rows] = written['A.csv']!.trim().split('\r\n');
  expect(header).toBe('time_s,rpm,advance_deg');
  expect(rows.length).toBeGreaterThanOrEqual(fired.length - 2); // one at each end may stand outside the pulses
  for (const row of rows) expect(row).toMatch(/^\d+\.\d{9},\d+\.\d{3},-?\d+\.\d{3}$/);
  const summary = JSON.parse(said[0]!) as Record<string, number>;
  expect(summary['sparks_with_advance']).toBe(rows.length);
  expect(summary['sensor_missed']).toBe(0);
  // five seconds hold two ends: no more than a spark or two at each has pulses on one side only
  expect(summary['sparks_by_one_side']).toBeGreaterThanOrEqual(0);
  expect(summary['sparks_by_one_side']).toBeLessThanOrEqual(3);
  // A strike is timed within 20 µs of its onset: at 2000 rpm that is 0.24 degrees (deg = 6 rpm s).
  expect(Math.abs(summary['advance_median_deg']! - 18)).toBeLessThan(0.24);
});

test('a known delay of the sensor is taken off: 100 µs at 2000 rpm make 1.2 degrees', async () => {
  const median = async (delay: string): Promise<number> => {
    const { said } = await decode({ ...SENSOR, 'reference-delay-us': delay, json: true });
    return (JSON.parse(said[0]!) as { advance_median_deg: number }).advance_median_deg;
  };
  expect((await median('0')) - (await median('100'))).toBeCloseTo(1.2, 1);
});

test('in words, and a channel that is not there refused', async () => {
  const { said } = await decode(SENSOR);
  expect(said[0]).toMatch(/crank sensor: \d+ pulses, 0 missed; \d+ sparks with an advance/);
  expect(said[0]).toMatch(/advance: 1\d\.\d to 1\d\.\d deg before TDC, median 1\d\.\d deg, scatter/);
  await expect(decode({ 'reference-channel': '3', 'reference-deg': '75' })).rejects.toThrow(
    new BadInput('a.wav: has 2 channels and no channel 3'),
  );
});
