/** Samples in, the bytes of a WAV file out, piece by piece. The header has one length whatever the sound's, so that it
 * can be written first and written again at the end. Knows no file. */

export interface WavSpec {
  readonly sampleRateHz: number;
  readonly channelCount: number;
  readonly coding: 'int16' | 'int24' | 'float32';
}

const SAMPLE_BYTES = { int16: 2, int24: 3, float32: 4 } as const;
const LARGEST_RIFF_BYTES = 2 ** 32 - 2; // the sizes of RIFF are 32 bit, and all-ones is taken by RF64
const DS64_BYTES = 28;

/** Bytes of one frame: a sample of every channel. */
export const frameBytes = (spec: WavSpec): number => SAMPLE_BYTES[spec.coding] * spec.channelCount;

/** The file's start, up to its first sample. Past 4 GiB it becomes RF64; the chunk that then holds the long sizes is
 * kept free as JUNK before that.
 * @param frames frames of the whole file; null while nobody knows: the file then reads to its end
 * @throws RangeError for a rate, a channel count or a frame count that no WAV can carry
 * @source RIFF and WAVEFORMATEX, RF64 (EBU Tech 3306) with its reserved JUNK chunk, from memory */
export function wavHeader(spec: WavSpec, frames: number | null): Uint8Array<ArrayBuffer> {
  assertSpec(spec, frames);
  const isFloat = spec.coding === 'float32';
  const extensible = spec.channelCount > 2;
  const formatBytes = extensible ? 40 : isFloat ? 18 : 16;
  const headerBytes = 12 + 8 + DS64_BYTES + 8 + formatBytes + (isFloat ? 12 : 0) + 8;
  const dataBytes = frames === null ? null : frames * frameBytes(spec);
  const fileBytes = dataBytes === null ? null : headerBytes + dataBytes + (dataBytes % 2);
  const is64 = fileBytes !== null && fileBytes - 8 > LARGEST_RIFF_BYTES;
  const size32 = (bytes: number | null): number => (bytes === null || is64 ? 0xffffffff : bytes);

  const put = littleEndianWriter(headerBytes);
  put
    .text(is64 ? 'RF64' : 'RIFF')
    .u32(size32(fileBytes && fileBytes - 8))
    .text('WAVE');
  put.text(is64 ? 'ds64' : 'JUNK').u32(DS64_BYTES);
  if (is64)
    put
      .u64(fileBytes - 8)
      .u64(dataBytes ?? 0)
      .u64(frames ?? 0)
      .u32(0);
  else put.skip(DS64_BYTES);
  putFormat(put, spec, formatBytes);
  if (isFloat) put.text('fact').u32(4).u32(size32(frames));
  put.text('data').u32(size32(dataBytes));
  return put.bytes;
}

function assertSpec({ sampleRateHz, channelCount, coding }: WavSpec, frames: number | null): void {
  if (!Number.isInteger(sampleRateHz) || sampleRateHz < 1 || sampleRateHz > 0xffffffff)
    throw new RangeError(`a WAV's sample rate must be a whole number of hertz from 1, got ${sampleRateHz}`);
  if (!Number.isInteger(channelCount) || channelCount < 1 || channelCount * SAMPLE_BYTES[coding] > 0xffff)
    throw new RangeError(`a WAV's channels must be a whole number from 1 to 16383, got ${channelCount}`);
  if (frames !== null && !(Number.isSafeInteger(frames) && frames >= 0))
    throw new RangeError(`a WAV's frames must be a whole number from 0, got ${frames}`);
}

function putFormat(put: LittleEndianWriter, spec: WavSpec, formatBytes: number): void {
  const code = spec.coding === 'float32' ? 3 : 1;
  const bits = SAMPLE_BYTES[spec.coding] * 8;
  put.text('fmt ').u32(formatBytes);
  put.u16(formatBytes === 40 ? 0xfffe : code).u16(spec.channelCount);
  put.u32(spec.sampleRateHz).u32((spec.sampleRateHz * frameBytes(spec)) % 2 ** 32);
  put.u16(frameBytes(spec)).u16(bits);
  if (formatBytes > 16) put.u16(formatBytes - 18);
  if (formatBytes === 40) put.u16(bits).u32(0).u32(code).u32(0x00100000).u32(0xaa000080).u32(0x719b3800);
}

/** Turns blocks into interleaved sample bytes. Integers are rounded to the nearest step and stop at full scale.
 * @param channels one array a channel, equal lengths, full scale ±1
 * @throws RangeError if the channels are not as many as the file's, or not equally long */
export function encodeFrames(spec: WavSpec, channels: readonly Float32Array[]): Uint8Array<ArrayBuffer> {
  const frames = channels[0]?.length ?? 0;
  if (channels.length !== spec.channelCount || channels.some((channel) => channel.length !== frames))
    throw new RangeError(
      `${spec.channelCount} equally long channels were wanted, got lengths ${channels.map((c) => c.length).join(', ')}`,
    );
  const bytes = new Uint8Array(frames * frameBytes(spec));
  const stride = spec.channelCount;
  channels.forEach((from, channel) => {
    if (spec.coding === 'int16') put16(from, new Int16Array(bytes.buffer), stride, channel);
    else if (spec.coding === 'int24') put24(from, bytes, stride, channel);
    else put32(from, new Float32Array(bytes.buffer), stride, channel);
  });
  return bytes;
}

function put16(from: Float32Array, to: Int16Array, stride: number, channel: number): void {
  for (let i = 0, at = channel; i < from.length; i++, at += stride)
    to[at] = Math.max(-32768, Math.min(32767, Math.round(from[i]! * 32768)));
}

function put24(from: Float32Array, to: Uint8Array, stride: number, channel: number): void {
  for (let i = 0, at = 3 * channel; i < from.length; i++, at += 3 * stride) {
    const step = Math.max(-8388608, Math.min(8388607, Math.round(from[i]! * 8388608)));
    to[at] = step;
    to[at + 1] = step >> 8;
    to[at + 2] = step >> 16;
  }
}

function put32(from: Float32Array, to: Float32Array, stride: number, channel: number): void {
  for (let i = 0, at = channel; i < from.length; i++, at += stride) to[at] = from[i]!;
}

/** What closes a file: the byte that pads a data chunk of odd size; empty where it is even. */
export const wavTail = (spec: WavSpec, frames: number): Uint8Array<ArrayBuffer> =>
  new Uint8Array((frames * frameBytes(spec)) % 2);

interface LittleEndianWriter {
  readonly bytes: Uint8Array<ArrayBuffer>;
  text(name: string): this;
  u16(value: number): this;
  u32(value: number): this;
  u64(value: number): this;
  skip(count: number): this;
}

function littleEndianWriter(length: number): LittleEndianWriter {
  const bytes = new Uint8Array(length);
  const view = new DataView(bytes.buffer);
  let at = 0;
  return {
    bytes,
    text(name) {
      for (const letter of name) bytes[at++] = letter.charCodeAt(0);
      return this;
    },
    u16(value) {
      view.setUint16((at += 2) - 2, value, true);
      return this;
    },
    u32(value) {
      view.setUint32((at += 4) - 4, value, true);
      return this;
    },
    u64(value) {
      return this.u32(value % 2 ** 32).u32(Math.floor(value / 2 ** 32));
    },
    skip(count) {
      at += count;
      return this;
    },
  };
}
