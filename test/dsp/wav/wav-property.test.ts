import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createWavReader, WavError } from '../../../dsp/wav/wav-reader';
import { encodeFrames, wavHeader, wavTail, type WavSpec } from '../../../dsp/wav/wav-writer';
import { readWav } from '../../helpers/read-wav';
import { formatBody, joined, riff, samples16, text, u16, u32 } from '../../helpers/wav-bytes';

const SEED = 20260501;

const files = fc
  .record({
    channels: fc.integer({ min: 1, max: 5 }),
    layout: fc.constantFrom(
      { code: 1, bits: 8 },
      { code: 1, bits: 12 },
      { code: 1, bits: 16 },
      { code: 1, bits: 24 },
      { code: 1, bits: 32 },
      { code: 3, bits: 32 },
      { code: 3, bits: 64 },
    ),
    container: fc.constantFrom('RIFF', 'RIFX', 'RF64'),
    sound: fc.uint8Array({ maxLength: 400 }),
    extra: fc.uint8Array({ maxLength: 9 }),
  })
  .map(({ channels, layout, container, sound, extra }) =>
    riff(
      [
        { id: 'JUNK', body: extra },
        { id: 'fmt ', body: formatBody({ channels, ...layout }, container === 'RIFX') },
        { id: 'data', body: sound },
      ],
      container,
    ),
  );

test('any way of cutting the bytes into pieces gives the same samples, facts and warnings', () => {
  const pieces = fc.array(fc.integer({ min: 1, max: 50 }), { minLength: 1, maxLength: 20 });
  fc.assert(
    fc.property(files, pieces, (bytes, pieceBytes) => {
      expect(readWav(bytes, pieceBytes)).toEqual(readWav(bytes));
    }),
    { seed: SEED, numRuns: 500 },
  );
});

const SEEDS = [
  riff([
    { id: 'fmt ', body: formatBody() },
    { id: 'data', body: samples16([1, 2, 3, 4, 5]) },
  ]),
  riff([
    { id: 'LIST', body: text('INFOx') },
    { id: 'fmt ', body: formatBody({ channels: 2, bits: 24 }) },
    { id: 'data', body: new Uint8Array(60) },
  ]),
  riff(
    [
      { id: 'ds64', body: joined(u32(0), u32(0), u32(8), u32(0), u32(2), u32(0), u32(0)) },
      { id: 'fmt ', body: formatBody({ code: 3, bits: 32, extra: u16(0) }) },
      { id: 'data', body: new Uint8Array(8), size: 0xffffffff },
    ],
    'RF64',
  ),
];

test('bytes changed, cut or put in anywhere end in samples or in our own error, and in nothing else', () => {
  const change = fc.record({
    at: fc.nat(),
    byte: fc.integer({ min: 0, max: 255 }),
    kind: fc.constantFrom('set', 'cut', 'put'),
  });
  let refused = 0;
  let read = 0;
  fc.assert(
    fc.property(
      fc.constantFrom(...SEEDS),
      fc.array(change, { minLength: 1, maxLength: 6 }),
      (seed, changes) => {
        const bytes = changes.reduce(
          (so, { at, byte, kind }) => {
            const place = at % (so.length + 1);
            if (kind === 'set') return so.with(Math.min(place, so.length - 1), byte);
            if (kind === 'cut') return [...so.slice(0, place), ...so.slice(place + 1)];
            return [...so.slice(0, place), byte, ...so.slice(place)];
          },
          [...seed],
        );
        try {
          const { channels } = readWav(Uint8Array.from(bytes), [7]);
          expect(channels.flat().every(Number.isFinite)).toBe(true);
          read++;
        } catch (error) {
          expect(error).toBeInstanceOf(WavError);
          refused++;
        }
      },
    ),
    { seed: SEED, numRuns: 5000 },
  );
  expect(Math.min(refused, read)).toBeGreaterThan(500); // both ways were gone
});

test('bytes of no meaning end in our own error', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 200 }), fc.boolean(), (bytes, asWave) => {
      const start = asWave ? joined(text('RIFF'), u32(0), text('WAVE')) : new Uint8Array(0);
      const reader = createWavReader({ block: () => undefined });
      try {
        reader.push(joined(start, bytes));
        reader.finish();
      } catch (error) {
        expect(error).toBeInstanceOf(WavError);
      }
    }),
    { seed: SEED, numRuns: 2000 },
  );
});

test('what the writer writes the reader reads, to half a step of the coding', () => {
  const specs = fc.record({
    sampleRateHz: fc.integer({ min: 1, max: 768_000 }),
    channelCount: fc.integer({ min: 1, max: 6 }),
    coding: fc.constantFrom('int16', 'int24', 'float32') satisfies fc.Arbitrary<WavSpec['coding']>,
  });
  const sound = fc.array(fc.float({ min: -1, max: Math.fround(0.99), noNaN: true }), { maxLength: 30 });
  const halfStep = { int16: 2 ** -16, int24: 2 ** -24, float32: 0 };
  fc.assert(
    fc.property(specs, sound, (spec, samples) => {
      const channels = Array.from({ length: spec.channelCount }, (_, c) =>
        Float32Array.from(samples, (s) => s / (c + 1)),
      );
      const bytes = joined(
        wavHeader(spec, samples.length),
        encodeFrames(spec, channels),
        wavTail(spec, samples.length),
      );
      const back = readWav(bytes);
      expect(back.facts).toMatchObject({ sampleRateHz: spec.sampleRateHz, channelCount: spec.channelCount });
      expect(back.warnings).toEqual([]);
      back.channels.forEach((channel, c) =>
        channel.forEach((sample, i) =>
          expect(Math.abs(sample - channels[c]![i]!)).toBeLessThanOrEqual(halfStep[spec.coding]),
        ),
      );
    }),
    { seed: SEED, numRuns: 300 },
  );
});
