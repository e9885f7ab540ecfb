import { expect, test } from 'vitest';
import { parseFormat, WavError } from '../../../dsp/wav/wav-format';
import { formatBody, joined, u16, u32 } from '../../helpers/wav-bytes';

// WAVEFORMATEXTENSIBLE, from memory: extra size 22, valid bits, speaker mask, code, then a fixed tail.
const TAIL = Uint8Array.from([0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71]);
const extensible = (code: number, validBits: number): Uint8Array =>
  joined(u16(22), u16(validBits), u32(0), u16(code), TAIL);

test('a plain format chunk gives rate, channels, bits and container', () => {
  expect(parseFormat(formatBody({ channels: 2, rateHz: 44_100, bits: 24 }), false)).toEqual({
    sampleRateHz: 44_100,
    channelCount: 2,
    coding: 'integer',
    validBits: 24,
    containerBytes: 3,
    bigEndian: false,
  });
});

test('an extensible chunk gives its own coding and its valid bits', () => {
  const body = formatBody({ code: 0xfffe, bits: 32, extra: extensible(1, 24) });
  expect(parseFormat(body, false)).toMatchObject({ coding: 'integer', validBits: 24, containerBytes: 4 });
  const float = formatBody({ code: 0xfffe, bits: 32, extra: extensible(3, 32) });
  expect(parseFormat(float, false)).toMatchObject({ coding: 'float', validBits: 32 });
});

test('an extensible chunk that gives no valid bits has all of its container valid', () => {
  const body = formatBody({ code: 0xfffe, bits: 16, extra: extensible(1, 0) });
  expect(parseFormat(body, false).validBits).toBe(16);
});

test.each([
  ['too short', formatBody().subarray(0, 14), /format chunk of 14 bytes where at least 16 were wanted/],
  ['no channels', formatBody({ channels: 0, frameBytes: 2 }), /no channels/],
  ['no rate', formatBody({ rateHz: 0 }), /sample rate is 0 Hz/],
  ['no bits', formatBody({ bits: 0, frameBytes: 2 }), /contradicts itself: samples of 0 bits/],
  ['frames too small', formatBody({ bits: 16, frameBytes: 1 }), /contradicts itself/],
  [
    'frames not a whole number of samples',
    formatBody({ channels: 3, bits: 24, frameBytes: 4 }),
    /contradicts/,
  ],
  ['frames far too large', formatBody({ bits: 16, frameBytes: 60 }), /16 bits in samples of 60 bytes/],
  ['a float of 16 bits', formatBody({ code: 3, bits: 16 }), /floating-point samples of 2 bytes/],
  [
    'more valid bits than bits',
    formatBody({ code: 0xfffe, bits: 16, extra: extensible(1, 20) }),
    /20 valid bits/,
  ],
  [
    'extensible, cut short',
    formatBody({ code: 0xfffe, extra: u16(0) }),
    /extensible format chunk of 18 bytes/,
  ],
  ['A-law', formatBody({ code: 6, bits: 8 }), /coded as A-law \(format code 6\)/],
  ['MP3', formatBody({ code: 0x55, bits: 0, frameBytes: 1 }), /coded as MP3 \(format code 85\)/],
  ['a code that nobody knows', formatBody({ code: 0x1234 }), /an unknown coding \(format code 4660\)/],
])('a format chunk is refused in words: %s', (_, body, message) => {
  expect(() => parseFormat(body, false)).toThrow(WavError);
  expect(() => parseFormat(body, false)).toThrow(message);
});

test('an extensible chunk with a strange tail is refused as unknown', () => {
  const body = formatBody({ code: 0xfffe, extra: extensible(1, 16) });
  body[39] = 0;
  expect(() => parseFormat(body, false)).toThrow(/unknown coding/);
});
