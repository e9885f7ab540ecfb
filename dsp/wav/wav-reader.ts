/** A WAV file as it streams: bytes in any pieces in, the header's facts and blocks of samples out. Memory stays the
 * same however long the file is. One caller, one thread. */
import { WavBlocks } from './wav-blocks';
import { chunkName, isKnownChunk, paddingBefore, size64 } from './wav-chunks';
import { LONGEST_FORMAT_BYTES, parseFormat, WavError, type WavFormat } from './wav-format';

export { WavError } from './wav-format';

export interface WavFacts extends WavFormat {
  /** Frames that the header promises; null where the recorder did not say. */
  readonly declaredFrames: number | null;
}

export interface WavSink {
  /** Once, before the first block. */
  facts?(facts: WavFacts): void;
  /** One array for each channel asked for, equal lengths, full scale ±1. They are filled again after the call: copy
   * what is kept. */
  block(channels: readonly Float32Array[]): void;
}

export interface WavReader {
  /** @throws WavError as a sentence that goes on from the file's name */
  push(bytes: Uint8Array): void;
  /** No more bytes come. @throws WavError if the file ended before any sound could start */
  finish(): void;
  /** null until the header is read. */
  readonly facts: WavFacts | null;
  /** Frames given so far. */
  readonly frames: number;
  /** What was odd but not fatal, each a sentence that goes on from the file's name. */
  readonly warnings: readonly string[];
  /** The sound is over: what may still come is not needed. */
  readonly done: boolean;
}

/** Makes a reader for one file.
 * @param only channels wanted, from 0, in the order wanted; null: all
 * @throws RangeError for a channel that is not a whole number from 0 */
export function createWavReader(sink: WavSink, only: readonly number[] | null = null): WavReader {
  const wrong = only?.find((channel) => !Number.isInteger(channel) || channel < 0);
  if (wrong !== undefined) throw new RangeError(`a channel must be a whole number from 0, got ${wrong}`);
  return new StreamingReader(sink, only);
}

type Phase = 'riff' | 'chunk' | 'format' | 'ds64' | 'padding' | 'skip' | 'after empty data' | 'data' | 'done';
const CONTAINERS = ['RIFF', 'RIFX', 'RF64', 'BW64'];
const SEE_DS64 = 0xffffffff; // in a plain RIFF file: a recorder that streamed and never knew

class StreamingReader implements WavReader {
  readonly warnings: string[] = [];
  facts: WavFacts | null = null;
  readonly #sink: WavSink;
  readonly #only: readonly number[] | null;
  #phase: Phase = 'riff';
  #head = new Uint8Array(LONGEST_FORMAT_BYTES);
  #have = 0;
  #need = 12;
  /** Bytes of the present chunk that are still to come; Infinity: to the end of the file. */
  #left = 0;
  #odd = false;
  #container = '';
  #dataBytes64: number | null = null;
  #format: WavFormat | null = null;
  #blocks: WavBlocks | null = null;

  constructor(sink: WavSink, only: readonly number[] | null) {
    this.#sink = sink;
    this.#only = only;
  }

  get frames(): number {
    return this.#blocks?.frames ?? 0;
  }

  get done(): boolean {
    return this.#phase === 'done';
  }

  push(bytes: Uint8Array): void {
    let at = 0;
    while (at < bytes.length && this.#phase !== 'done') {
      if (this.#phase === 'data') at += this.#takeSamples(bytes.subarray(at));
      else if (this.#phase === 'skip') at += this.#skip(bytes.length - at);
      else at += this.#gather(bytes.subarray(at));
    }
    if (this.#phase === 'data') this.#blocks?.flush();
  }

  finish(): void {
    if (this.#phase === 'after empty data' && this.#have > 0) this.#startUnmeasured();
    if (this.facts) return this.#end();
    if (this.#phase === 'riff' && this.#have === 0)
      throw new WavError('is empty where a WAV recording was wanted');
    const start = chunkName(this.#head.subarray(0, Math.min(this.#have, 4)));
    if (this.#phase === 'riff' && !CONTAINERS.some((id) => id.startsWith(start))) throw notWav(start);
    throw new WavError('ends inside its header, before any sound');
  }

  /** Collects the bytes that the present phase needs, then takes the phase's step. */
  #gather(bytes: Uint8Array): number {
    const count = Math.min(this.#need - this.#have, bytes.length);
    this.#head.set(bytes.subarray(0, count), this.#have);
    this.#have += count;
    if (this.#have === this.#need) this.#step();
    return count;
  }

  #step(): void {
    switch (this.#phase) {
      case 'riff':
        return this.#startFile();
      case 'chunk':
        return this.#startChunk();
      case 'padding':
        return this.#afterOddChunk();
      case 'format':
        this.#format = parseFormat(this.#head.subarray(0, this.#have), this.#container === 'RIFX');
        return this.#skipRest();
      case 'ds64':
        this.#dataBytes64 = size64(this.#head, 8);
        return this.#skipRest();
      case 'after empty data':
        return isKnownChunk(chunkName(this.#head)) ? this.#end() : this.#startUnmeasured();
    }
  }

  #startFile(): void {
    this.#container = chunkName(this.#head);
    if (!CONTAINERS.includes(this.#container)) throw notWav(this.#container);
    const kind = chunkName(this.#head, 8);
    if (kind !== 'WAVE')
      throw new WavError(`is not a WAV recording: it is a RIFF file of the kind "${kind}"`);
    this.#want('chunk', 8);
  }

  #want(phase: Phase, bytes: number): void {
    this.#phase = phase;
    this.#need = bytes;
    this.#have = 0;
  }

  #startChunk(): void {
    const name = chunkName(this.#head);
    const size = new DataView(this.#head.buffer).getUint32(4, this.#container !== 'RIFX');
    this.#left = size;
    this.#odd = size % 2 === 1;
    if (name === 'data') return this.#startData(size);
    if (name === 'fmt ') return this.#startBody('format', Math.min(size, LONGEST_FORMAT_BYTES));
    if (name === 'ds64' && size >= 28) return this.#startBody('ds64', 28);
    return this.#skipRest();
  }

  #startBody(phase: 'format' | 'ds64', bytes: number): void {
    this.#want(phase, bytes);
    this.#left -= bytes;
    if (bytes === 0) this.#step(); // says what is wrong with it
  }

  #skipRest(): void {
    if (this.#left > 0) this.#phase = 'skip';
    else if (this.#odd) this.#want('padding', 5);
    else this.#want('chunk', 8);
  }

  #skip(available: number): number {
    const count = Math.min(this.#left, available);
    this.#left -= count;
    if (this.#left === 0) this.#skipRest();
    return count;
  }

  #afterOddChunk(): void {
    const padding = paddingBefore(this.#head.subarray(0, 5));
    this.#head.copyWithin(0, padding, 5);
    this.#want('chunk', 8);
    this.#have = 5 - padding;
  }

  #startData(size: number): void {
    if (!this.#format)
      throw new WavError('has its sound before its format chunk; the format must come first');
    const bytes = size === SEE_DS64 ? this.#dataBytes64 : size;
    this.#announce(this.#format, bytes || null);
    if (bytes === 0) return this.#want('after empty data', 8);
    if (bytes === null) return this.#startUnmeasured();
    this.#phase = 'data';
    this.#left = bytes;
  }

  #announce(format: WavFormat, bytes: number | null): void {
    const { channelCount, containerBytes } = format;
    const wanted = this.#only ?? Array.from({ length: channelCount }, (_, channel) => channel);
    const absent = wanted.find((channel) => channel >= channelCount);
    if (absent !== undefined) throw noChannel(channelCount, absent);
    const declaredFrames = bytes === null ? null : Math.floor(bytes / (containerBytes * channelCount));
    this.facts = { ...format, declaredFrames };
    this.#blocks = new WavBlocks(format, wanted, (channels) => this.#sink.block(channels));
    this.#sink.facts?.(this.facts);
  }

  /** The recorder was cut off, or streamed, before it could write the length: everything that follows is sound. */
  #startUnmeasured(): void {
    const first = this.#head.slice(0, this.#phase === 'after empty data' ? this.#have : 0);
    this.warnings.push('does not say how long its sound is, so it was read to its end');
    this.#phase = 'data';
    this.#left = Infinity;
    this.#takeSamples(first);
  }

  #takeSamples(bytes: Uint8Array): number {
    const count = Math.min(bytes.length, this.#left);
    this.#blocks?.push(bytes.subarray(0, count));
    this.#left -= count;
    if (this.#left === 0) this.#end();
    return count;
  }

  #end(): void {
    if (this.#phase === 'done') return;
    this.#blocks?.flush();
    this.#phase = 'done';
    const declared = this.facts?.declaredFrames ?? 0;
    const notNumbers = this.#blocks?.notNumbers ?? 0;
    if (this.frames < declared)
      this.warnings.push(
        `ends early: ${this.frames} of the ${declared} frames that its header promises are there`,
      );
    if (notNumbers > 0)
      this.warnings.push(`holds ${notNumbers} samples that are not numbers; each was taken as 0`);
  }
}

const notWav = (start: string): WavError =>
  new WavError(`is not a WAV recording: it starts with "${start}" where RIFF, RIFX or RF64 was wanted`);

const noChannel = (channelCount: number, absent: number): WavError =>
  new WavError(
    `has ${channelCount} ${channelCount === 1 ? 'channel' : 'channels'} and no channel ${absent + 1}`,
  );
