import { expect, test } from 'vitest';
import { createWavReader, WavError } from '../../../dsp/wav/wav-reader';
import { readWav } from '../../helpers/read-wav';
import { formatBody, joined, riff, samples16, text, u32, type ChunkSpec } from '../../helpers/wav-bytes';

const STEPS = [0, 1, -1, 32767, -32768, 12345, -4321];
const SOUND = STEPS.map((step) => step / 32768); // full scale of n bits is 2^(n-1)
const fmt: ChunkSpec = { id: 'fmt ', body: formatBody() };
const data: ChunkSpec = { id: 'data', body: samples16(STEPS) };
const soundOf = (bytes: Uint8Array): number[] => readWav(bytes).channels[0]!;

test('a plain file gives its facts and its samples, full scale ±1', () => {
  const { facts, channels, warnings } = readWav(riff([fmt, data]));
  expect(facts).toMatchObject({ sampleRateHz: 48_000, channelCount: 1, declaredFrames: STEPS.length });
  expect(channels).toEqual([SOUND]);
  expect(warnings).toEqual([]);
});

test('an empty recording has no samples and no warning', () => {
  const { channels, warnings } = readWav(riff([fmt, { id: 'data', body: new Uint8Array(0) }]));
  expect(channels).toEqual([[]]);
  expect(warnings).toEqual([]);
});

test('only the channels asked for are given, in the order asked for', () => {
  const stereo = riff([
    { id: 'fmt ', body: formatBody({ channels: 2 }) },
    { id: 'data', body: samples16([1, 2, 3, 4]) },
  ]);
  expect(readWav(stereo, [], [1]).channels).toEqual([[2 / 32768, 4 / 32768]]);
  expect(readWav(stereo, [], [1, 0]).channels).toEqual([
    [2 / 32768, 4 / 32768],
    [1 / 32768, 3 / 32768],
  ]);
});

test('a channel that the file has not got is refused with what it has', () => {
  expect(() => readWav(riff([fmt, data]), [], [1])).toThrow(/^has 1 channel and no channel 2$/);
});

test('a channel that cannot be is a mistake of the caller', () => {
  const sink = { block: () => undefined };
  expect(() => createWavReader(sink, [-1])).toThrow(RangeError);
  expect(() => createWavReader(sink, [0.5])).toThrow(RangeError);
});

test.each([
  ['even', 6, true],
  ['odd and padded, as the rule says', 7, true],
  ['odd and not padded, as some recorders do', 7, false],
  ['empty', 0, true],
])('unknown chunks before the sound are passed over: %s', (_, size, pad) => {
  const unknown = { id: 'odd!', body: new Uint8Array(size).fill(0x41), pad };
  expect(soundOf(riff([unknown, fmt, unknown, data]))).toEqual(SOUND);
});

test('a chunk of text with an odd size, padded with something else than zero, is passed over', () => {
  const list = { id: 'LIST', body: text('INFOINAM1'), pad: false };
  const bytes = riff([fmt, list, data]);
  const at = 12 + 24 + 8 + 9;
  const padded = joined(bytes.slice(0, at), text('~'), bytes.slice(at));
  expect(soundOf(padded)).toEqual(SOUND);
});

test('what follows the sound is not needed and not read as sound', () => {
  const bytes = riff([fmt, data, { id: 'LIST', body: text('INFOIART....') }]);
  expect(soundOf(bytes)).toEqual(SOUND);
});

test.each([
  ['all ones', 0xffffffff],
  ['zero', 0],
])('a data size of %s, from a recorder that was cut off, reads to the end with a warning', (_, size) => {
  for (const riffSize of [0, 36, 0xffffffff, undefined]) {
    const { channels, warnings, facts } = readWav(riff([fmt, { ...data, size }], 'RIFF', riffSize));
    expect(channels).toEqual([SOUND]);
    expect(facts.declaredFrames).toBeNull();
    expect(warnings).toEqual(['does not say how long its sound is, so it was read to its end']);
  }
});

test('a data size of zero with fewer than eight bytes behind it still gives them', () => {
  const bytes = riff([fmt, { id: 'data', body: samples16([5, 6, 7]), size: 0 }]);
  expect(soundOf(bytes)).toEqual([5 / 32768, 6 / 32768, 7 / 32768]);
});

test('a data size of zero before another chunk is an empty recording', () => {
  const bytes = riff([
    fmt,
    { id: 'data', body: new Uint8Array(0) },
    { id: 'LIST', body: text('INFOxxxxyyyy') },
  ]);
  expect(readWav(bytes)).toMatchObject({ channels: [[]], warnings: [] });
});

test('a file that ends inside its sound gives what is there, and a warning with both lengths', () => {
  const bytes = riff([fmt, data]);
  const { channels, warnings } = readWav(bytes.slice(0, bytes.length - 5)); // two samples and half of one less
  expect(channels).toEqual([SOUND.slice(0, 4)]);
  expect(warnings).toEqual(['ends early: 4 of the 7 frames that its header promises are there']);
});

test('RF64 takes its size from the ds64 chunk', () => {
  const size = joined(u32(data.body.length), u32(0));
  const ds64 = { id: 'ds64', body: joined(u32(0), u32(0), size, u32(0), u32(0), u32(0)) };
  for (const container of ['RF64', 'BW64']) {
    const bytes = riff(
      [ds64, fmt, { ...data, size: 0xffffffff }, { id: 'LIST', body: text('zzzz') }],
      container,
    );
    expect(readWav(bytes)).toMatchObject({ channels: [SOUND], warnings: [] });
  }
});

test('RF64 without a size reads to the end', () => {
  expect(readWav(riff([fmt, { ...data, size: 0xffffffff }], 'RF64')).channels).toEqual([SOUND]);
});

test('RIFX is read from its high bytes down', () => {
  const big = [
    { id: 'fmt ', body: formatBody({}, true) },
    { id: 'data', body: samples16(STEPS, true) },
  ];
  expect(soundOf(riff(big, 'RIFX'))).toEqual(SOUND);
});

test('samples that are not numbers become 0 and are counted in a warning', () => {
  const body = new Uint8Array(Float32Array.of(0.5, NaN, Infinity, -0.25).buffer);
  const bytes = riff([
    { id: 'fmt ', body: formatBody({ code: 3, bits: 32 }) },
    { id: 'data', body },
  ]);
  const { channels, warnings } = readWav(bytes);
  expect(channels).toEqual([[0.5, 0, 0, -0.25]]);
  expect(warnings).toEqual(['holds 2 samples that are not numbers; each was taken as 0']);
});

test('bytes at an odd place in a larger buffer are read as well', () => {
  const bytes = riff([fmt, data]);
  const shifted = new Uint8Array(bytes.length + 3);
  shifted.set(bytes, 3);
  const seen: number[] = [];
  const reader = createWavReader({ block: ([block]) => seen.push(...block!) });
  reader.push(shifted.subarray(3));
  reader.finish();
  expect(seen).toEqual(SOUND);
});

test('blocks come as the bytes do: nothing that is whole waits for more', () => {
  const reader = createWavReader({ block: () => undefined });
  reader.push(riff([fmt, data]).subarray(0, 44 + 6));
  expect(reader.frames).toBe(3);
  expect(reader.done).toBe(false);
});

test.each([
  ['nothing', new Uint8Array(0), /^is empty where a WAV recording was wanted$/],
  [
    'another kind of file',
    text('\x89PNG....more than twelve bytes'),
    /^is not a WAV recording: it starts with "\.PNG"/,
  ],
  ['a short text', text('hello'), /^is not a WAV recording: it starts with "hell"/],
  ['a RIFF that is no WAVE', joined(text('RIFF'), u32(4), text('AVI ')), /kind "AVI "/],
  ['four bytes', text('RIFF'), /^ends inside its header/],
  ['two bytes', text('RI'), /^ends inside its header/],
  ['a header alone', riff([fmt]), /^ends inside its header, before any sound$/],
  ['an empty format', riff([{ id: 'fmt ', body: new Uint8Array(0) }]), /format chunk of 0 bytes/],
  ['sound before its format', riff([data, fmt]), /^has its sound before its format chunk/],
])('%s is refused in one sentence', (_, bytes, message) => {
  expect(() => readWav(bytes)).toThrow(WavError);
  expect(() => readWav(bytes)).toThrow(message);
});

test('a long recording makes no new buffers: every whole block is the same array', () => {
  const arrays = new Set<ArrayBufferLike>();
  const reader = createWavReader({ block: ([block]) => arrays.add(block!.buffer) });
  reader.push(riff([fmt, { id: 'data', body: new Uint8Array(0), size: 0xffffffff }]));
  for (let i = 0; i < 100; i++) reader.push(new Uint8Array(100_000));
  expect(reader.frames).toBe(5_000_000);
  expect(arrays.size).toBe(1);
});
