/** WAV files for tests, put together byte by byte from the description of RIFF, apart from the product's writer. */

export interface ChunkSpec {
  readonly id: string;
  readonly body: Uint8Array;
  /** The size written, where it is not the body's. */
  readonly size?: number;
  /** Pad an odd body to even; true unless said. */
  readonly pad?: boolean;
}

export const text = (letters: string): Uint8Array =>
  Uint8Array.from(letters, (letter) => letter.charCodeAt(0));

export function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  parts.reduce((at, part) => (all.set(part, at), at + part.length), 0);
  return all;
}

export function u32(value: number, bigEndian = false): Uint8Array {
  const bytes = new Uint8Array(4);
  new DataView(bytes.buffer).setUint32(0, value, !bigEndian);
  return bytes;
}

export function u16(value: number, bigEndian = false): Uint8Array {
  const bytes = new Uint8Array(2);
  new DataView(bytes.buffer).setUint16(0, value, !bigEndian);
  return bytes;
}

export interface FormatSpec {
  readonly code?: number;
  readonly channels?: number;
  readonly rateHz?: number;
  readonly bits?: number;
  readonly frameBytes?: number;
  /** Bytes after the first 16. */
  readonly extra?: Uint8Array;
}

/** The body of a format chunk: 16 bytes and what is put behind them. */
export function formatBody(spec: FormatSpec = {}, bigEndian = false): Uint8Array {
  const { code = 1, channels = 1, rateHz = 48_000, bits = 16, extra = new Uint8Array(0) } = spec;
  const frameBytes = spec.frameBytes ?? channels * Math.ceil(bits / 8);
  const short = (value: number): Uint8Array => u16(value, bigEndian);
  return joined(
    short(code),
    short(channels),
    u32(rateHz, bigEndian),
    u32((rateHz * frameBytes) % 2 ** 32, bigEndian),
    short(frameBytes),
    short(bits),
    extra,
  );
}

/** A whole file: the container's name, WAVE, the chunks. */
export function riff(chunks: readonly ChunkSpec[], container = 'RIFF', riffSize?: number): Uint8Array {
  const big = container === 'RIFX';
  const body = joined(
    text('WAVE'),
    ...chunks.map(({ id, body, size = body.length, pad = true }) =>
      joined(text(id), u32(size, big), body, new Uint8Array(pad ? body.length % 2 : 0)),
    ),
  );
  return joined(text(container), u32(riffSize ?? body.length, big), body);
}

/** Signed 16-bit samples as bytes. */
export const samples16 = (values: readonly number[], bigEndian = false): Uint8Array =>
  joined(...values.map((value) => u16(value & 0xffff, bigEndian)));
