/** Trace and sound in the store come back as they were put away: fake-indexeddb stands for the browser's. */
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test } from 'vitest';
import { closeDatabase } from '../../web/store/database';
import { encodeFrames, type WavSpec } from '../../dsp/wav/wav-writer';
import { readSound, readSoundBetween } from '../../web/store/sound-stretches';
import { appendSound, appendTrace, hasSound, readTrace, traceEndS } from '../../web/store/trace-store';

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

const SPEC = { sampleRateHz: 48000, channelCount: 2, coding: 'int24' } as const;
const piece = (startFrame: number, spec: WavSpec = SPEC) => {
  const channels = [Float32Array.of(0.5), Float32Array.of(-1)].slice(0, spec.channelCount);
  const bytes = new Blob([encodeFrames(spec, channels)]);
  return { startS: 3 + startFrame / spec.sampleRateHz, frames: 1, spec, bytes };
};
// 0.5 is 0x400000 and -1 is 0x800000 of 24 bit two's complement, low byte first (hand arithmetic)
const FRAME = [0, 0, 0x40, 0, 0, 0x80];

test('sound comes back as 24-bit samples with silence where frames were lost', async () => {
  await appendSound('a', piece(100));
  await appendSound('a', piece(102));
  const [stretch, ...more] = await readSound('a');
  expect(more).toEqual([]);
  expect(stretch!.frames).toBe(3);
  expect(stretch!.spec).toEqual(SPEC);
  expect(await bytesOf(stretch!.parts)).toEqual([...FRAME, 0, 0, 0, 0, 0, 0, ...FRAME]);
  expect(await hasSound('a')).toBe(true);
});

test('a long loss becomes as much silence, to the frame', async () => {
  await appendSound('a', piece(0));
  await appendSound('a', piece(1_000_001));
  const [stretch] = await readSound('a');
  const bytes = await bytesOf(stretch!.parts);
  expect(stretch!.frames).toBe(1_000_002);
  expect(bytes).toHaveLength(6_000_012);
  expect(bytes.slice(-6)).toEqual(FRAME);
  expect(bytes.filter((byte) => byte !== 0)).toHaveLength(4);
});

test('another rate or channel count, a jump back and a long sleep each begin another stretch', async () => {
  const mono: WavSpec = { ...SPEC, channelCount: 1 };
  const fast: WavSpec = { ...mono, sampleRateHz: 96000 };
  for (const each of [
    piece(0),
    piece(1),
    piece(2, mono),
    piece(10, fast),
    piece(3, fast),
    piece(9_000_000, fast),
  ])
    await appendSound('a', each);
  expect((await readSound('a')).map(({ frames }) => frames)).toEqual([2, 1, 1, 1, 1]);
});

test('sound whose bytes are not as many as its frames want is refused', async () => {
  await expect(appendSound('a', { ...piece(0), frames: 2 })).rejects.toThrow('12 bytes were wanted, got 6');
});

test('rows that the store refuses go in with the next piece, in order', async () => {
  await appendTrace('a', rows(0, 2));
  await closeDatabase();
  const works = globalThis.indexedDB;
  globalThis.indexedDB = {
    open: () => {
      throw new DOMException('blocked', 'SecurityError');
    },
  } as never;
  await expect(appendTrace('a', rows(2, 2))).rejects.toThrow('blocked');
  await expect(appendTrace('a', rows(4, 1))).rejects.toThrow('blocked');
  globalThis.indexedDB = works;
  await appendTrace('a', rows(5, 1));
  expect([...(await readTrace('a')).timeS]).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5]);
});

test('a part of the sound is found by its time, in the pieces that hold it, and nothing else is read', async () => {
  const second: WavSpec = { ...SPEC, sampleRateHz: 100 };
  for (let i = 0; i < 20; i++) await appendSound('a', { ...piece(0, second), startS: i / 100 });
  const stretch = (await readSoundBetween('a', 0.055, 0.085))!;
  expect(stretch.startS).toBeCloseTo(0.05, 9);
  expect(stretch.frames).toBe(4); // 0.05 to 0.09
  expect(await readSoundBetween('a', 0.3, 0.4)).toBeNull();
  expect(await readSoundBetween('b', 0, 1)).toBeNull();
});

test('rows that may be made better stand in the store until they come again, and are there once', async () => {
  await appendTrace('a', rows(0, 2), rows(2, 2));
  expect([...(await readTrace('a')).timeS]).toEqual([0, 0.1, 0.2, 0.3]);
  const better = { ...rows(2, 1), rpm: Float64Array.of(950) };
  await appendTrace('a', better, rows(3, 3));
  expect([...(await readTrace('a')).timeS]).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5]);
  expect((await readTrace('a')).rpm[2]).toBe(950);
  await appendTrace('a', rows(3, 3));
  expect([...(await readTrace('a')).timeS]).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5]);
});
