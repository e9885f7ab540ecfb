/** A whole WAV file read at once or in pieces, for tests: bytes in, all samples out. */
import { createWavReader, type WavFacts } from '../../dsp/wav/wav-reader';

export interface WholeWav {
  readonly facts: WavFacts;
  readonly channels: number[][];
  readonly warnings: readonly string[];
}

/** @param pieceBytes sizes of the pieces, used round and round; one piece where none are said */
export function readWav(
  bytes: Uint8Array,
  pieceBytes: readonly number[] = [],
  only: readonly number[] | null = null,
): WholeWav {
  const channels: number[][] = [];
  const reader = createWavReader(
    {
      facts: ({ channelCount }) =>
        (only ?? Array.from({ length: channelCount })).forEach(() => channels.push([])),
      block: (blocks) => blocks.forEach((block, i) => block.forEach((sample) => channels[i]!.push(sample))),
    },
    only,
  );
  for (let at = 0, turn = 0; at < bytes.length; turn++) {
    const count = pieceBytes.length ? pieceBytes[turn % pieceBytes.length]! : bytes.length;
    reader.push(bytes.slice(at, at + count));
    at += count;
  }
  reader.finish();
  return { facts: reader.facts!, channels, warnings: reader.warnings };
}
