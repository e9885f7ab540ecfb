/** A made recording as a file: a scenario in; a WAV in a folder of its own, and the truth, out. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Scenario } from '../../core/scenario/scenario';
import { simulate, simulateWhole, type TrueStrike } from '../../core/scenario/simulate';
import { encodeFrames, wavHeader, type WavSpec } from '../../dsp/wav/wav-writer';

export interface MadeRecording {
  readonly path: string;
  /** The strikes that were heard, in order. */
  readonly strikes: readonly TrueStrike[];
  remove(): void;
}

/** What an input gives whose driver hangs at the end of a scenario: its last 10 ms over and over for so long. */
export function makeHanging(scenario: Scenario, hangsS: number): Pick<MadeRecording, 'path' | 'remove'> {
  const { sampleRateHz } = scenario;
  const samples = simulateWhole(scenario).channels[0]!;
  const last = samples.subarray(samples.length - Math.round(0.01 * sampleRateHz));
  const hanging = Float32Array.from({ length: hangsS * sampleRateHz }, (_, i) => last[i % last.length]!);
  const spec: WavSpec = { sampleRateHz, channelCount: 1, coding: 'int16' };
  const { folder, path } = newFile();
  const parts = [
    wavHeader(spec, samples.length + hanging.length),
    ...[samples, hanging].map((part) => encodeFrames(spec, [part])),
  ];
  writeFileSync(path, Buffer.concat(parts));
  return { path, remove: () => rmSync(folder, { recursive: true, force: true }) };
}

function newFile(): { folder: string; path: string } {
  const folder = mkdtempSync(join(tmpdir(), 'clampline-recording-'));
  return { folder, path: join(folder, 'made.wav') };
}

/** @param channelCount 2 puts a second channel beside the clamp's that hears a tenth of it, so that the two differ */
export function makeRecording(scenario: Scenario, channelCount: 1 | 2): MadeRecording {
  const { folder, path } = newFile();
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
