/** Facts of RIFF and WAVE, held against what our writer writes and our reader takes. Sources: Microsoft and IBM,
 * Multimedia Programming Interface and Data Specifications 1.0 (RIFF, 1991); WAVEFORMATEX and WAVEFORMATEXTENSIBLE;
 * RF64: EBU Tech 3306. All from memory: the documents were not opened. */
import { expect, test } from 'vitest';
import { chunkName } from '../../dsp/wav/wav-chunks';
import { encodeFrames, wavHeader, wavTail, type WavSpec } from '../../dsp/wav/wav-writer';
import { readWav } from '../helpers/read-wav';
import { formatBody, joined, riff, samples16, u16 } from '../helpers/wav-bytes';

interface Chunk {
  readonly name: string;
  readonly at: number;
  readonly size: number;
}

/** Walks a RIFF file by the rule alone: name, size, body, a pad byte after an odd body. */
function chunksOf(bytes: Uint8Array): Chunk[] {
  const view = new DataView(bytes.buffer);
  const chunks: Chunk[] = [];
  for (let at = 12; at + 8 <= bytes.length;) {
    const size = view.getUint32(at + 4, true);
    chunks.push({ name: chunkName(bytes, at), at: at + 8, size });
    at += 8 + size + (size % 2);
  }
  return chunks;
}

function fileOf(spec: WavSpec, frames: number): Uint8Array<ArrayBuffer> {
  const silence = Array.from({ length: spec.channelCount }, () => new Float32Array(frames));
  return Uint8Array.from(joined(wavHeader(spec, frames), encodeFrames(spec, silence), wavTail(spec, frames)));
}

const SPECS: WavSpec[] = (['int16', 'int24', 'float32'] as const).flatMap((coding) =>
  [1, 2, 3].map((channelCount) => ({ sampleRateHz: 96_000, channelCount, coding })),
);

test.each(SPECS)(
  'a file of ours is a RIFF whose chunks fill it to the byte: $coding, $channelCount channels',
  (spec) => {
    const bytes = fileOf(spec, 5);
    const view = new DataView(bytes.buffer);
    expect([chunkName(bytes), chunkName(bytes, 8)]).toEqual(['RIFF', 'WAVE']);
    expect(view.getUint32(4, true)).toBe(bytes.length - 8); // RIFF's size counts all but its own name and size
    expect(bytes.length % 2).toBe(0); // chunks start at even places
    const chunks = chunksOf(bytes);
    expect(chunks.every(({ at }) => at % 2 === 0)).toBe(true);
    const last = chunks.at(-1)!;
    expect(last.name).toBe('data');
    expect(last.at + last.size + (last.size % 2)).toBe(bytes.length);
  },
);

test.each(SPECS)('its format chunk holds the published fields: $coding, $channelCount channels', (spec) => {
  const bytes = fileOf(spec, 5);
  const { at, size } = chunksOf(bytes).find(({ name }) => name === 'fmt ')!;
  const view = new DataView(bytes.buffer, at, size);
  const bits = { int16: 16, int24: 24, float32: 32 }[spec.coding];
  const code = spec.coding === 'float32' ? 3 : 1; // WAVE_FORMAT_IEEE_FLOAT, WAVE_FORMAT_PCM
  // PCM may end after 16 bytes; any other code has at least 18; more than two channels want the extensible 40.
  expect(size).toBe(spec.channelCount > 2 ? 40 : code === 3 ? 18 : 16);
  expect(view.getUint16(0, true)).toBe(spec.channelCount > 2 ? 0xfffe : code);
  expect(view.getUint16(2, true)).toBe(spec.channelCount);
  expect(view.getUint32(4, true)).toBe(96_000);
  expect(view.getUint16(12, true)).toBe((spec.channelCount * bits) / 8); // block align
  expect(view.getUint32(8, true)).toBe((96_000 * spec.channelCount * bits) / 8); // bytes a second
  expect(view.getUint16(14, true)).toBe(bits);
  if (size === 18) expect(view.getUint16(16, true)).toBe(0); // nothing more follows
  if (size === 40) expect(view.getUint16(16, true)).toBe(22); // the extension's size
  if (size === 40) expect(view.getUint16(24, true)).toBe(code); // the sub-format starts with the old code
});

test('a file whose coding is not PCM has a fact chunk that counts its frames', () => {
  const bytes = fileOf({ sampleRateHz: 48_000, channelCount: 2, coding: 'float32' }, 77);
  const fact = chunksOf(bytes).find(({ name }) => name === 'fact')!;
  expect(fact.size).toBe(4);
  expect(new DataView(bytes.buffer).getUint32(fact.at, true)).toBe(77);
});

test.each([16, 18, 40])('a format chunk of %i bytes is read', (size) => {
  const extra = size === 16 ? new Uint8Array(0) : joined(u16(size - 18), new Uint8Array(size - 18));
  const bytes = riff([
    { id: 'fmt ', body: formatBody({ extra }) },
    { id: 'data', body: samples16([100, -100]) },
  ]);
  expect(readWav(bytes).channels).toEqual([[100 / 32768, -100 / 32768]]);
});

test('8-bit samples are unsigned with their middle at 128; longer ones are signed', () => {
  const bytes = riff([
    { id: 'fmt ', body: formatBody({ bits: 8 }) },
    { id: 'data', body: Uint8Array.of(128, 0, 255) },
  ]);
  expect(readWav(bytes).channels).toEqual([[0, -1, 127 / 128]]);
});

test('RIFX is RIFF with every number from its high byte down', () => {
  const bytes = riff(
    [
      { id: 'fmt ', body: formatBody({ rateHz: 22_050 }, true) },
      { id: 'data', body: Uint8Array.of(0x40, 0x00, 0x80, 0x00) },
    ],
    'RIFX',
  );
  const { facts, channels } = readWav(bytes);
  expect(facts.sampleRateHz).toBe(22_050);
  expect(channels).toEqual([[0.5, -1]]);
});
