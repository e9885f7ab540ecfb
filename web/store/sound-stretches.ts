/** A run's stored sound as what WAV files can carry: one stretch for each rate and channel count, short losses filled
 * with silence. Reads a record at a time: an hour of sound never stands in the page's memory. */
import { frameBytes, type WavSpec } from '../../dsp/wav/wav-writer';
import { openDatabase, type SoundRecord } from './database';

export interface SoundStretch {
  readonly spec: WavSpec;
  /** The trace's time at its first frame. */
  readonly startS: number;
  readonly frames: number;
  /** Sample bytes, in order; the browser holds them outside the page's memory. */
  readonly parts: readonly Blob[];
}

/** A longer silence than this is no lost block: the machine slept or the source was stopped. */
const LONGEST_LOSS_S = 60;
/** Times are sums of floating-point numbers: a frame early is not an overlap. */
const SLACK_FRAMES = 2;
const SILENCE_FRAMES = 2 ** 17;

/** @param step called before each piece, 0 to 1; throws where it is to stop
 * @returns the stretches in order; none where no sound was kept */
export async function readSound(
  runId: string,
  step: (share: number) => Promise<void> = async () => undefined,
): Promise<SoundStretch[]> {
  const db = await openDatabase();
  const keys = await db.getAllKeysFromIndex('sound', 'runId', runId);
  const stretches: Stretch[] = [];
  for (const [i, key] of keys.entries()) {
    await step(i / keys.length);
    const record = await db.get('sound', key);
    if (!record) continue; // taken out meanwhile
    if (!stretches.at(-1)?.takes(record)) stretches.push(new Stretch(record));
    stretches.at(-1)!.add(record);
  }
  return stretches;
}

/** The stored sound of a part of a run: the pieces that lie in it, whole. Finds them by halving, so that a second out of
 * an hour is as quick as a second out of a minute.
 * @returns null where no sound was kept in that part */
export async function readSoundBetween(
  runId: string,
  fromS: number,
  toS: number,
): Promise<SoundStretch | null> {
  const db = await openDatabase();
  const keys = await db.getAllKeysFromIndex('sound', 'runId', runId);
  const record = async (at: number): Promise<SoundRecord> => (await db.get('sound', keys[at]!))!;
  let [low, high] = [0, keys.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (endS(await record(middle)) <= fromS) low = middle + 1;
    else high = middle;
  }
  let stretch: Stretch | null = null;
  for (let at = low; at < keys.length; at++) {
    const piece = await record(at);
    if (piece.startS >= toS || (stretch && !stretch.takes(piece))) break;
    stretch ??= new Stretch(piece);
    stretch.add(piece);
  }
  return stretch;
}

const endS = ({ startS, frames, spec }: SoundRecord): number => startS + frames / spec.sampleRateHz;

class Stretch implements SoundStretch {
  readonly spec: WavSpec;
  readonly startS: number;
  readonly parts: Blob[] = [];
  frames = 0;
  #silence: Blob | null = null;

  constructor({ spec, startS }: SoundRecord) {
    this.spec = spec;
    this.startS = startS;
  }

  takes(record: SoundRecord): boolean {
    const lost = this.#lostBefore(record);
    return (
      record.spec.sampleRateHz === this.spec.sampleRateHz &&
      record.spec.channelCount === this.spec.channelCount &&
      record.spec.coding === this.spec.coding &&
      lost >= -SLACK_FRAMES &&
      lost <= LONGEST_LOSS_S * this.spec.sampleRateHz
    );
  }

  add(record: SoundRecord): void {
    for (let lost = this.#lostBefore(record); lost > 0; lost -= SILENCE_FRAMES)
      this.#addSilence(Math.min(lost, SILENCE_FRAMES));
    this.parts.push(new Blob([record.bytes]));
    this.frames += record.frames;
  }

  #lostBefore = (record: SoundRecord): number =>
    Math.round((record.startS - this.startS) * this.spec.sampleRateHz) - this.frames;

  #addSilence(frames: number): void {
    const size = frameBytes(this.spec);
    this.#silence ??= new Blob([new Uint8Array(SILENCE_FRAMES * size)]);
    this.parts.push(this.#silence.slice(0, frames * size));
    this.frames += frames;
  }
}
