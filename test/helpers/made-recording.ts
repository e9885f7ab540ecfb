/** A made recording as a file: a scenario in; a WAV in a folder of its own, and the truth, out. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Scenario } from '../../core/scenario/scenario';
import { simulate, type TrueStrike } from '../../core/scenario/simulate';
import { encodeFrames, wavHeader, type WavSpec } from '../../dsp/wav/wav-writer';

export interface MadeRecording {
  readonly path: string;
  /** The strikes that were heard, in order. */
  readonly strikes: readonly TrueStrike[];
  remove(): void;
}

/** @param channelCount 2 puts a second channel beside the clamp's that hears a tenth of it, so that the two differ */
export function makeRecording(scenario: Scenario, channelCount: 1 | 2): MadeRecording {
  const folder = mkdtempSync(join(tmpdir(), 'clampline-recording-'));
  const path = join(folder, 'made.wav');
  const simulation = simulate(scenario);
  const spec: WavSpec = { sampleRateHz: simulation.sampleRateHz, channelCount, coding: 'int16' };
  const parts: Uint8Array[] = [wavHeader(spec, simulation.frames)];
  const strikes: TrueStrike[] = [];
  for (const [clamp] of simulation.blocks) {
    const channels = channelCount === 1 ? [clamp!] : [clamp!, clamp!.map((sample) => sample / 10)];
    parts.push(encodeFrames(spec, channels));
    strikes.push(...simulation.takeStrikes());
  }
  strikes.push(...simulation.takeStrikes());
  writeFileSync(path, Buffer.concat(parts));
  return {
    path,
    strikes: strikes.filter(({ fate }) => fate === 'fired'),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}
