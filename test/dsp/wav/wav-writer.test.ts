import { expect, test } from 'vitest';
import { chunkName } from '../../../dsp/wav/wav-chunks';
import { encodeFrames, frameBytes, wavHeader, wavTail, type WavSpec } from '../../../dsp/wav/wav-writer';
import { readWav } from '../../helpers/read-wav';
import { joined } from '../../helpers/wav-bytes';

const MONO: WavSpec = { sampleRateHz: 48_000, channelCount: 1, coding: 'int16' };
const SPECS: WavSpec[] = (['int16', 'int24', 'float32'] as const).flatMap((coding) =>
  [1, 2, 3].map((channelCount) => ({ sampleRateHz: 44_100, channelCount, coding })),
);
const u32 = (bytes: Uint8Array, at: number): number => new DataView(bytes.buffer).getUint32(at, true);

test('integers are rounded to the nearest step and stop at full scale', () => {
  const bytes = encodeFrames(MONO, [Float32Array.of(0, 0.5, -1, 1, 2, -2, 1.4 / 32768, 1.6 / 32768)]);
  expect([...new Int16Array(bytes.buffer)]).toEqual([0, 16384, -32768, 32767, 32767, -32768, 1, 2]);
  const bytes24 = encodeFrames({ ...MONO, coding: 'int24' }, [Float32Array.of(1, -1, -1 / 8388608)]);
  expect([...bytes24]).toEqual([0xff, 0xff, 0x7f, 0, 0, 0x80, 0xff, 0xff, 0xff]);
});

test('channels are interleaved, a frame after the other', () => {
  const bytes = encodeFrames({ ...MONO, channelCount: 2 }, [
    Float32Array.of(0.5, 0.25),
    Float32Array.of(-0.5, -0.25),
  ]);
  expect([...new Int16Array(bytes.buffer)]).toEqual([16384, -16384, 8192, -8192]);
});

test.each(SPECS)(
  'the header has one length whatever is known of the sound: $coding, $channelCount channels',
  (spec) => {
    const lengths = [null, 0, 1000, 3e9].map((frames) => wavHeader(spec, frames).length);
    expect(new Set(lengths).size).toBe(1);
  },
);

test('a header that waits for its length reads to the end, and the same file with it put right has no warning', () => {
  const sound = encodeFrames(MONO, [Float32Array.of(0.5, -0.5, 0.25)]);
  const unfinished = readWav(joined(wavHeader(MONO, null), sound));
  expect(unfinished.channels).toEqual([[0.5, -0.5, 0.25]]);
  expect(unfinished.warnings.length).toBe(1);
  expect(readWav(joined(wavHeader(MONO, 3), sound))).toMatchObject({
    channels: [[0.5, -0.5, 0.25]],
    warnings: [],
  });
});

test('a data chunk of odd size is padded to even', () => {
  const spec: WavSpec = { ...MONO, coding: 'int24' };
  expect(wavTail(spec, 3).length).toBe(1);
  expect(wavTail(spec, 4).length).toBe(0);
  const header = wavHeader(spec, 3);
  expect(u32(header, 4)).toBe(header.length + 9 + 1 - 8); // the size of RIFF counts the pad, that of data does not
  expect(u32(header, header.length - 4)).toBe(9);
});

test('past 4 GiB the file is RF64 with its sizes in a ds64 chunk; just below it is plain RIFF', () => {
  const most = Math.floor((2 ** 32 - 2 + 8 - wavHeader(MONO, 0).length) / 2);
  expect(chunkName(wavHeader(MONO, most))).toBe('RIFF');
  const header = wavHeader(MONO, most + 1);
  expect(chunkName(header)).toBe('RF64');
  expect(chunkName(header, 12)).toBe('ds64');
  expect(u32(header, 4)).toBe(0xffffffff);
  const dataBytes = (most + 1) * 2;
  expect(u32(header, 28) + u32(header, 32) * 2 ** 32).toBe(dataBytes);
  expect(u32(header, 20) + u32(header, 24) * 2 ** 32).toBe(header.length + dataBytes - 8);
  expect(u32(header, 36)).toBe(most + 1);
  expect(readWav(header).facts.declaredFrames).toBe(most + 1);
});

test('an impossible file is a mistake of the caller', () => {
  expect(() => wavHeader({ ...MONO, sampleRateHz: 0 }, 1)).toThrow(RangeError);
  expect(() => wavHeader({ ...MONO, sampleRateHz: 44_100.5 }, 1)).toThrow(RangeError);
  expect(() => wavHeader({ ...MONO, channelCount: 0 }, 1)).toThrow(RangeError);
  expect(() => wavHeader(MONO, -1)).toThrow(RangeError);
  expect(() => encodeFrames(MONO, [])).toThrow(RangeError);
  expect(() =>
    encodeFrames({ ...MONO, channelCount: 2 }, [new Float32Array(1), new Float32Array(2)]),
  ).toThrow(RangeError);
});

test('a frame holds a sample of every channel', () => {
  expect(SPECS.map(frameBytes)).toEqual([2, 4, 6, 3, 6, 9, 4, 8, 12]);
});
