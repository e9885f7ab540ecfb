/** The facts of a WAV header: the bytes of a format chunk in, what the samples are out. Knows no stream, no samples. */

/** What is wrong with a recording, as one plain sentence that goes on from its file name. */
export class WavError extends Error {
  override readonly name = 'WavError';
}

export interface WavFormat {
  readonly sampleRateHz: number;
  readonly channelCount: number;
  readonly coding: 'integer' | 'float';
  /** Bits that carry sound; they fill the top of the container. */
  readonly validBits: number;
  /** Bytes of one sample of one channel. */
  readonly containerBytes: number;
  readonly bigEndian: boolean;
}

/** Format codes, and what people call them.
 * @source RFC 2361 and the RIFF registry behind it, from memory */
const CODING_NAMES: Readonly<Record<number, string>> = {
  0x02: 'ADPCM',
  0x06: 'A-law',
  0x07: 'mu-law',
  0x11: 'IMA ADPCM',
  0x31: 'GSM 6.10',
  0x50: 'MPEG audio',
  0x55: 'MP3',
  0xff: 'AAC',
};
const INTEGER_CODE = 1;
const FLOAT_CODE = 3;
const EXTENSIBLE_CODE = 0xfffe;
/** WAVEFORMATEXTENSIBLE up to its end; what follows in a longer chunk says nothing about the samples. */
export const LONGEST_FORMAT_BYTES = 40;

/** Reads a format chunk.
 * @param bytes the chunk's body, or its first 40 bytes
 * @throws WavError if it is too short, contradicts itself, or names a coding that is not plain samples
 * @source WAVEFORMATEX and WAVEFORMATEXTENSIBLE, from memory; behaviour held by the files in REFERENCES of the tests */
export function parseFormat(bytes: Uint8Array, bigEndian: boolean): WavFormat {
  if (bytes.length < 16)
    throw new WavError(`has a format chunk of ${bytes.length} bytes where at least 16 were wanted`);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const u16 = (at: number): number => view.getUint16(at, !bigEndian);
  const extensible = u16(0) === EXTENSIBLE_CODE;
  const code = extensible ? codeOfExtensible(bytes, view, bigEndian) : u16(0);
  const channelCount = u16(2);
  const bits = u16(14);
  const format: WavFormat = {
    sampleRateHz: view.getUint32(4, !bigEndian),
    channelCount,
    coding: codingOf(code),
    validBits: (extensible && u16(18)) || bits,
    containerBytes: u16(12) / channelCount,
    bigEndian,
  };
  assertConsistent(format, bits);
  return format;
}

function codingOf(code: number): 'integer' | 'float' {
  if (code === INTEGER_CODE) return 'integer';
  if (code === FLOAT_CODE) return 'float';
  const name = CODING_NAMES[code] ?? 'an unknown coding';
  throw new WavError(
    `is coded as ${name} (format code ${code}); plain PCM or floating-point samples are wanted`,
  );
}

function codeOfExtensible(bytes: Uint8Array, view: DataView, bigEndian: boolean): number {
  if (bytes.length < LONGEST_FORMAT_BYTES)
    throw new WavError(`has an extensible format chunk of ${bytes.length} bytes where 40 were wanted`);
  const code = view.getUint32(24, !bigEndian);
  const known =
    view.getUint16(28, !bigEndian) === 0 &&
    view.getUint16(30, !bigEndian) === 0x10 &&
    view.getUint32(32) === 0x800000aa &&
    view.getUint32(36) === 0x00389b71;
  return known ? code : -1;
}

function assertConsistent(format: WavFormat, bits: number): void {
  const { channelCount, containerBytes, sampleRateHz, coding, validBits } = format;
  if (channelCount === 0) throw new WavError('has a header that says it has no channels');
  if (sampleRateHz === 0) throw new WavError('has a header that says its sample rate is 0 Hz');
  const contradiction = (why: string): WavError =>
    new WavError(`has a header that contradicts itself: ${why}`);
  const frameBytes = containerBytes * channelCount;
  if (bits === 0) throw contradiction('samples of 0 bits');
  if (!Number.isInteger(containerBytes) || containerBytes * 8 < bits)
    throw contradiction(`${channelCount} channels of ${bits} bits do not fit frames of ${frameBytes} bytes`);
  if (validBits > containerBytes * 8)
    throw contradiction(`${validBits} valid bits in samples of ${containerBytes} bytes`);
  if (containerBytes > 8) throw contradiction(`${bits} bits in samples of ${containerBytes} bytes`);
  if (coding === 'float' && containerBytes !== 4 && containerBytes !== 8)
    throw contradiction(`floating-point samples of ${containerBytes} bytes where 4 or 8 were wanted`);
}
