/** Trace and sound in the store come back as they were put away: fake-indexeddb stands for the browser's. */
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test } from 'vitest';
import { closeDatabase } from '../../web/store/database';
import {
  appendSound,
  appendTrace,
  hasSound,
  readSound,
  readTrace,
  traceEndS,
} from '../../web/store/trace-store';

beforeEach(async () => {
  await closeDatabase();
  globalThis.indexedDB = new IDBFactory();
});

const rows = (from: number, count: number) => ({
  timeS: Float64Array.from({ length: count }, (_, i) => (from + i) / 10),
  rpm: Float64Array.from({ length: count }, (_, i) => (i === 1 ? NaN : 900 + from + i)),
  rpmSd: Float64Array.from({ length: count }, () => 1.5),
});

test('a trace put away in pieces comes back whole, in order, gaps kept, other runs apart', async () => {
  await appendTrace('a', rows(0, 3));
  await appendTrace('b', rows(50, 2));
  await appendTrace('a', rows(3, 2));
  const trace = await readTrace('a');
  expect([...trace.timeS]).toEqual([0, 0.1, 0.2, 0.3, 0.4]);
  expect([...trace.rpm]).toEqual([900, NaN, 902, 903, NaN]);
  expect([...trace.rpmSd]).toEqual([1.5, 1.5, 1.5, 1.5, 1.5]);
  expect(await traceEndS('a')).toBe(0.4);
  expect(await traceEndS('b')).toBe(5.1);
});

test('a run without a trace gives empty columns and no end', async () => {
  expect((await readTrace('none')).timeS).toHaveLength(0);
  expect(await traceEndS('none')).toBeNull();
  expect(await hasSound('none')).toBe(false);
  expect(await readSound('none')).toEqual([]);
});

test('columns of different lengths are refused', async () => {
  await expect(appendTrace('a', { ...rows(0, 3), rpm: new Float64Array(2) })).rejects.toThrow(RangeError);
});

test('a view of a larger buffer is put away alone', async () => {
  const large = Float64Array.from({ length: 1000 }, (_, i) => i);
  const view = large.subarray(10, 12);
  await appendTrace('a', { timeS: view, rpm: view, rpmSd: view });
  expect((await readTrace('a')).timeS.buffer.byteLength).toBe(16);
});

const bytesOf = async (parts: readonly Blob[]): Promise<number[]> => [
  ...new Uint8Array(await new Blob([...parts]).arrayBuffer()),
];

test('sound comes back as 24-bit samples with silence where frames were lost', async () => {
  // 0.5 is 0x400000 and -1 is 0x800000 of 24 bit two's complement, low byte first (hand arithmetic)
  const channels = [Float32Array.of(0.5), Float32Array.of(-1)];
  await appendSound('a', { source: 1, sampleRateHz: 48000, startFrame: 100, channels });
  await appendSound('a', { source: 1, sampleRateHz: 48000, startFrame: 102, channels });
  const [stretch, ...more] = await readSound('a');
  expect(more).toEqual([]);
  expect(stretch!.frames).toBe(3);
  expect(stretch!.spec).toEqual({ sampleRateHz: 48000, channelCount: 2, coding: 'int24' });
  const frame = [0, 0, 0x40, 0, 0, 0x80];
  expect(await bytesOf(stretch!.parts)).toEqual([...frame, 0, 0, 0, 0, 0, 0, ...frame]);
  expect(await hasSound('a')).toBe(true);
});

test('a long loss becomes as much silence, to the frame', async () => {
  const piece = { source: 1, sampleRateHz: 44100, channels: [Float32Array.of(0.5)] };
  await appendSound('a', { ...piece, startFrame: 0 });
  await appendSound('a', { ...piece, startFrame: 1_000_001 });
  const [stretch] = await readSound('a');
  const bytes = await bytesOf(stretch!.parts);
  expect(stretch!.frames).toBe(1_000_002);
  expect(bytes).toHaveLength(3_000_006);
  expect(bytes.slice(-3)).toEqual([0, 0, 0x40]);
  expect(bytes.filter((byte) => byte !== 0)).toHaveLength(2);
});

test('another source, rate or channel count begins another stretch', async () => {
  const piece = { source: 1, sampleRateHz: 44100, startFrame: 0, channels: [Float32Array.of(0.5)] };
  await appendSound('a', piece);
  await appendSound('a', { ...piece, source: 2 });
  await appendSound('a', { ...piece, source: 2, sampleRateHz: 48000, startFrame: 1 });
  await appendSound('a', { ...piece, source: 2, sampleRateHz: 48000, startFrame: 1 }); // goes back: a new start
  expect((await readSound('a')).map(({ frames }) => frames)).toEqual([1, 1, 1, 1]);
});
