/** A recording on its road into the analysis: a Blob in, its facts and blocks of samples out, as fast as it goes or in
 * real time. Memory stays the same however long the file is. */
import { createWavReader, WavError, type WavFacts } from '../../dsp/wav/wav-reader';

export interface RoadSink {
  /** Once, before the first block. @throws WavError if the recording cannot be analysed */
  facts(facts: WavFacts): void;
  /** One array a channel; filled again after the call. */
  samples(channels: readonly Float32Array[]): void;
  /** Share of the file read, 0 to 1. */
  share(share: number): void;
}

export interface RoadEnd {
  readonly warnings: readonly string[];
  /** Why it could not be read, going on from the file's name; null: all is well. */
  readonly problem: string | null;
}

const PIECE_BYTES = 65_536;
const PIECE_S = 0.02; // in real time sound comes as from an input
const REST_MS = 40; // other calls to the worker wait no longer than this

/** Reads to the end, or until `cut` says so.
 * @param cut another source has taken over @returns what was odd, and what was wrong */
export async function readRecording(
  file: Blob,
  paced: 'fast' | 'real time',
  sink: RoadSink,
  cut: () => boolean,
): Promise<RoadEnd> {
  const reader = createWavReader({
    facts: (facts) => sink.facts(facts),
    block: (channels) => sink.samples(channels),
  });
  const pace =
    paced === 'fast'
      ? fastPace()
      : realTimePace(
          () => reader.frames,
          () => reader.facts,
        );
  try {
    let read = 0;
    for await (const bytes of pieces(file, () => pieceBytes(paced, reader.facts))) {
      if (cut() || reader.done) break;
      reader.push(bytes);
      sink.share((read += bytes.length) / file.size);
      await pace();
    }
    if (!cut()) reader.finish();
    return { warnings: reader.warnings, problem: null };
  } catch (error) {
    if (error instanceof WavError) return { warnings: reader.warnings, problem: error.message };
    // the browser's own words: the file was moved, changed or is on a drive that is gone
    return { warnings: reader.warnings, problem: `could not be read to its end (${String(error)})` };
  }
}

async function* pieces(file: Blob, most: () => number): AsyncGenerator<Uint8Array> {
  const stream = file.stream().getReader();
  try {
    for (let next = await stream.read(); !next.done; next = await stream.read())
      for (let at = 0; at < next.value.length;) {
        const piece = next.value.subarray(at, at + most());
        at += piece.length;
        yield piece;
      }
  } finally {
    await stream.cancel();
  }
}

function pieceBytes(paced: 'fast' | 'real time', facts: WavFacts | null): number {
  if (paced === 'fast') return PIECE_BYTES;
  if (!facts) return 4096;
  return Math.max(1, Math.round(facts.sampleRateHz * PIECE_S)) * facts.containerBytes * facts.channelCount;
}

const rest = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

function fastPace(): () => Promise<void> {
  let restedAt = performance.now();
  return async () => {
    if (performance.now() - restedAt < REST_MS) return;
    await rest(0);
    restedAt = performance.now();
  };
}

/** Waits until as much time has gone by as sound has been read. */
function realTimePace(frames: () => number, facts: () => WavFacts | null): () => Promise<void> {
  let startedAt: number | null = null;
  return async () => {
    const rateHz = facts()?.sampleRateHz;
    if (!rateHz) return;
    startedAt ??= performance.now() - (frames() / rateHz) * 1000;
    const aheadMs = startedAt + (frames() / rateHz) * 1000 - performance.now();
    if (aheadMs > 0) await rest(aheadMs);
    else if (aheadMs < -1000) startedAt -= aheadMs; // slept: go on from here and do not race
  };
}
