/** WAV files that nobody of this project wrote: scipy/scipy @ 3dbf660a919b1479cdf30d533176053b428d08d3
 * scipy/io/tests/data (BSD-3). Expectations: scipy/io/tests/test_wavfile.py at the same commit (seen). Sample values
 * are exact: a float32 holds every one of them, or its nearest, which Math.fround gives. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { WavError } from '../../dsp/wav/wav-reader';
import { describeSharedData } from '../helpers/shared-data';
import { readWav, type WholeWav } from '../helpers/read-wav';

interface Expected {
  readonly rateHz: number;
  readonly frames: number;
  readonly channels: number;
  readonly bits: number;
  readonly coding?: 'float';
}

const GOOD: Readonly<Record<string, Expected>> = {
  'test-44100Hz-le-1ch-4bytes.wav': { rateHz: 44100, frames: 4410, channels: 1, bits: 32 },
  'test-44100Hz-be-1ch-4bytes.wav': { rateHz: 44100, frames: 4410, channels: 1, bits: 32 },
  'test-44100Hz-le-1ch-4bytes-rf64.wav': { rateHz: 44100, frames: 4410, channels: 1, bits: 32 },
  'test-44100Hz-le-1ch-4bytes-early-eof.wav': { rateHz: 44100, frames: 236, channels: 1, bits: 32 }, // (1024-80)/4
  'test-8000Hz-le-2ch-1byteu.wav': { rateHz: 8000, frames: 800, channels: 2, bits: 8 },
  'test-44100Hz-2ch-32bit-float-le.wav': {
    rateHz: 44100,
    frames: 441,
    channels: 2,
    bits: 32,
    coding: 'float',
  },
  'test-44100Hz-2ch-32bit-float-be.wav': {
    rateHz: 44100,
    frames: 441,
    channels: 2,
    bits: 32,
    coding: 'float',
  },
  'test-48000Hz-2ch-64bit-float-le-wavex.wav': {
    rateHz: 48000,
    frames: 480,
    channels: 2,
    bits: 64,
    coding: 'float',
  },
  'test-8000Hz-le-5ch-9S-5bit.wav': { rateHz: 8000, frames: 9, channels: 5, bits: 5 },
  'test-8000Hz-le-4ch-9S-12bit.wav': { rateHz: 8000, frames: 9, channels: 4, bits: 12 },
  'test-8000Hz-le-3ch-5S-24bit.wav': { rateHz: 8000, frames: 5, channels: 3, bits: 24 },
  'test-8000Hz-be-3ch-5S-24bit.wav': { rateHz: 8000, frames: 5, channels: 3, bits: 24 },
  'test-8000Hz-le-3ch-5S-24bit-rf64.wav': { rateHz: 8000, frames: 5, channels: 3, bits: 24 },
  'test-1234Hz-le-1ch-10S-20bit-extra.wav': { rateHz: 1234, frames: 10, channels: 1, bits: 20 },
  'test-8000Hz-le-3ch-5S-36bit.wav': { rateHz: 8000, frames: 5, channels: 3, bits: 36 },
  'test-8000Hz-le-3ch-5S-45bit.wav': { rateHz: 8000, frames: 5, channels: 3, bits: 45 },
  'test-8000Hz-le-3ch-5S-53bit.wav': { rateHz: 8000, frames: 5, channels: 3, bits: 53 },
  'test-8000Hz-le-3ch-5S-64bit.wav': { rateHz: 8000, frames: 5, channels: 3, bits: 64 },
};

const BAD: Readonly<Record<string, RegExp>> = {
  'test-44100Hz-le-1ch-4bytes-early-eof-no-data.wav': /^ends inside its header, before any sound$/,
  'test-44100Hz-le-1ch-4bytes-incomplete-chunk.wav': /^ends inside its header, before any sound$/,
  'test-8000Hz-le-3ch-5S-24bit-inconsistent.wav':
    /^has a header that contradicts itself: 3 channels of 24 bits/,
  'test-8000Hz-le-1ch-1byte-ulaw.wav': /^is coded as mu-law/,
  'example_1.nc': /^is not a WAV recording/,
};

describeSharedData('WAV files that were written elsewhere', 'wav', (folder) => {
  const bytesOf = (file: string): Uint8Array => readFileSync(join(folder, file));
  const read = (file: string): WholeWav => readWav(bytesOf(file));

  test('every file of the folder has its expectation here', () => {
    expect(readdirSync(folder).sort()).toEqual([...Object.keys(GOOD), ...Object.keys(BAD)].sort());
  });

  test.each(Object.entries(GOOD))(
    '%s has the rate, frames, channels and bits that were published',
    (file, expected) => {
      const { facts, channels } = read(file);
      expect(facts.sampleRateHz).toBe(expected.rateHz);
      expect(channels.map((channel) => channel.length)).toEqual(
        Array(expected.channels).fill(expected.frames),
      );
      expect(facts.validBits).toBe(expected.bits);
      expect(facts.coding).toBe(expected.coding ?? 'integer');
    },
  );

  test.each(Object.entries(GOOD))('%s gives the same samples when it comes byte by byte', (file) => {
    expect(readWav(bytesOf(file), [1])).toEqual(read(file));
  });

  test.each(Object.entries(BAD))('%s is refused in words', (file, message) => {
    expect(() => read(file)).toThrow(WavError);
    expect(() => read(file)).toThrow(message);
  });

  test('only the file that ends inside its sound comes with a warning', () => {
    for (const file of Object.keys(GOOD))
      expect([file, read(file).warnings.length]).toEqual([file, file.includes('early-eof') ? 1 : 0]);
    expect(read('test-44100Hz-le-1ch-4bytes-early-eof.wav').warnings[0]).toMatch(/236 of the 4410 frames/);
  });

  test('big-endian, RF64 and cut files hold the samples of their plain sister', () => {
    const plain = read('test-44100Hz-le-1ch-4bytes.wav').channels;
    expect(read('test-44100Hz-be-1ch-4bytes.wav').channels).toEqual(plain);
    expect(read('test-44100Hz-le-1ch-4bytes-rf64.wav').channels).toEqual(plain);
    expect(read('test-44100Hz-le-1ch-4bytes-early-eof.wav').channels[0]).toEqual(plain[0]!.slice(0, 236));
  });

  test('the float files of both byte orders hold the same sound', () => {
    const [little, big] = ['le', 'be'].map((order) =>
      read(`test-44100Hz-2ch-32bit-float-${order}.wav`).channels.flat(),
    );
    // 2^-24: scipy's reader, run on both, differs by as much; the last bit differs in the files themselves.
    little!.forEach((sample, i) => expect(Math.abs(sample - big![i]!)).toBeLessThanOrEqual(2 ** -24));
  });

  test('24 bits in all three containers: the published first column', () => {
    const steps = [-(2 ** 31), -(2 ** 30), 0, 2 ** 30, 0x7fffff00];
    for (const kind of ['le-3ch-5S-24bit', 'be-3ch-5S-24bit', 'le-3ch-5S-24bit-rf64']) {
      const { channels } = read(`test-8000Hz-${kind}.wav`);
      expect(channels[0]!.map((sample) => sample * 2 ** 31)).toEqual(steps);
      expect(channels).toEqual(read('test-8000Hz-le-3ch-5S-24bit.wav').channels);
    }
  });

  test.each(['36bit', '45bit', '53bit', '64bit'])('%s: the published first column, to a float32', (bits) => {
    // Full scale is 1 - 2^-35 and closer: the nearest float32 is 1.
    const [first] = read(`test-8000Hz-le-3ch-5S-${bits}.wav`).channels;
    expect(first).toEqual([-1, -0.5, 0, 0.5, 1]);
  });

  test('5 valid bits of unsigned bytes: middle 128, top 0xF8, bottom 0', () => {
    const all = read('test-8000Hz-le-5ch-9S-5bit.wav').channels.flat();
    expect(Math.max(...all)).toBe((0xf8 - 128) / 128);
    expect(Math.min(...all)).toBe(-1);
    expect(all[0]).toBe(0);
  });

  test('12 valid bits of 16: top 0x7FF0, bottom -0x8000', () => {
    const all = read('test-8000Hz-le-4ch-9S-12bit.wav').channels.flat();
    expect(Math.max(...all)).toBe(0x7ff0 / 0x8000);
    expect(Math.min(...all)).toBe(-1);
  });

  test('20 valid bits of 24, with bits below them: plus and minus full scale, then halved each time', () => {
    const [samples] = read('test-1234Hz-le-1ch-10S-20bit-extra.wav').channels;
    samples!.forEach((sample, i) => {
      const top = i % 2 === 0 ? 0x7ffff000 : -0x7ffff000; // as scipy holds it, in 32 bits
      expect(sample * 2 ** 31).toBe(top / 2 ** Math.floor(i / 2));
    });
  });
});
