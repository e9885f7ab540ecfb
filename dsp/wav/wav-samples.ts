/** Interleaved sample bytes in, one Float32Array a channel out, full scale ±1. Allocates only when made. */
import type { WavFormat } from './wav-format';

/** Reads one channel of the first `frames` frames into `to`.
 * @returns how many samples were not numbers and became 0: only floating-point files can hold such */
export type ReadChannel = (channel: number, frames: number, to: Float32Array) => number;

/** Makes the reader for a buffer whose first frame starts at its first byte.
 * Every integer fills its container from the top, so the container alone sets full scale. Samples of 32 bits and more
 * keep the 24 bits that a float32 holds.
 * @param stage whole frames; its buffer must start with it, so that wider views lie on their boundaries */
export function channelReader(format: WavFormat, stage: Uint8Array<ArrayBuffer>): ReadChannel {
  const stride = format.channelCount;
  if (format.coding === 'float') {
    const floats =
      format.containerBytes === 4 ? new Float32Array(stage.buffer) : new Float64Array(stage.buffer);
    return (channel, frames, to) => readFloats(floats, stride, channel, frames, to);
  }
  switch (format.containerBytes) {
    case 1:
      return (channel, frames, to) => readUnsigned8(stage, stride, channel, frames, to);
    case 2: {
      const words = new Int16Array(stage.buffer);
      return (channel, frames, to) => readInt16(words, stride, channel, frames, to);
    }
    default:
      return (channel, frames, to) => readTopBytes(stage, format, channel, frames, to);
  }
}

function readUnsigned8(
  from: Uint8Array,
  stride: number,
  channel: number,
  frames: number,
  to: Float32Array,
): number {
  for (let i = 0, at = channel; i < frames; i++, at += stride) to[i] = (from[at]! - 128) / 128;
  return 0;
}

function readInt16(
  from: Int16Array,
  stride: number,
  channel: number,
  frames: number,
  to: Float32Array,
): number {
  for (let i = 0, at = channel; i < frames; i++, at += stride) to[i] = from[at]! / 32768;
  return 0;
}

function readTopBytes(
  from: Uint8Array,
  format: WavFormat,
  channel: number,
  frames: number,
  to: Float32Array,
): number {
  const bytes = format.containerBytes;
  const step = format.channelCount * bytes;
  for (let i = 0, end = (channel + 1) * bytes; i < frames; i++, end += step) {
    const low = bytes === 3 ? 0 : from[end - 4]!;
    const top = (from[end - 1]! << 24) | (from[end - 2]! << 16) | (from[end - 3]! << 8) | low;
    to[i] = top / 2147483648;
  }
  return 0;
}

function readFloats(
  from: Float32Array | Float64Array,
  stride: number,
  channel: number,
  frames: number,
  to: Float32Array,
): number {
  let notNumbers = 0;
  for (let i = 0, at = channel; i < frames; i++, at += stride) {
    to[i] = from[at]!;
    if (Number.isFinite(to[i])) continue; // one NaN would stay in every filter after it for ever
    to[i] = 0;
    notNumbers++;
  }
  return notNumbers;
}

/** Turns every sample of a big-endian buffer round, in place. */
export function swapBytes(bytes: Uint8Array, containerBytes: number, usedBytes: number): void {
  for (let start = 0; start + containerBytes <= usedBytes; start += containerBytes)
    for (let low = start, high = start + containerBytes - 1; low < high; low++, high--) {
      const byte = bytes[low]!;
      bytes[low] = bytes[high]!;
      bytes[high] = byte;
    }
}
