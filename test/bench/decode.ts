/** Decode speed as a multiple of real time, beside the yardstick on the same file in the same run; peak memory on an
 * hour against a minute. */
import { existsSync, statSync, unlinkSync } from 'node:fs';
import { join } from 'node:path';
import { madeMinute, repeatMinute } from './long-file';
import { run } from './process';
import { CLI, MINUTES, YARDSTICK } from './settings';

const text = (value: number | null, digits = 1): string => value?.toFixed(digits) ?? 'not measured here';

async function hasYardstick(): Promise<boolean> {
  if (!existsSync(YARDSTICK)) return false;
  return run('python3', ['-c', 'import numpy, scipy']).then(
    () => true,
    () => false,
  );
}

async function speed(file: string): Promise<void> {
  const ours = await run('node', [...CLI, 'decode', file, '--json']);
  const seconds = MINUTES * 60;
  console.log(
    `decode, ${MINUTES} min at 48 kHz, whole process: ${text(ours.seconds, 2)} s, ${text(seconds / ours.seconds, 0)} times real time, ${text(ours.cpuSeconds, 2)} s of processor, ${text(ours.peakMb, 0)} MB`,
  );
  if (!(await hasYardstick()))
    return console.log('yardstick: not here (python3 with numpy and scipy), no ratio');
  const theirs = await run('python3', [YARDSTICK, file]);
  console.log(
    `yardstick on the same file:            ${text(theirs.seconds, 2)} s, ${text(theirs.cpuSeconds, 2)} s of processor, ${text(theirs.peakMb, 0)} MB`,
  );
  console.log(
    `ratio yardstick / ours: time ${text(theirs.seconds / ours.seconds, 2)}, processor ${text(theirs.cpuSeconds !== null && ours.cpuSeconds !== null ? theirs.cpuSeconds / ours.cpuSeconds : null, 2)}, memory ${text(theirs.peakMb !== null && ours.peakMb !== null ? theirs.peakMb / ours.peakMb : null, 1)}`,
  );
}

async function memory(minute: Buffer, folder: string): Promise<void> {
  const peaks: (number | null)[] = [];
  for (const minutes of [1, 60]) {
    const file = join(folder, `long-${minutes}.wav`);
    repeatMinute(minute, minutes, file);
    const ran = await run('node', [...CLI, 'decode', file, '--json']);
    peaks.push(ran.peakMb);
    console.log(
      `peak memory on ${minutes} min (${text(statSync(file).size / 1e6, 0)} MB): ${text(ran.peakMb, 0)} MB`,
    );
    unlinkSync(file);
  }
  const [short, long] = peaks;
  console.log(`ratio hour / minute: ${text(short && long ? long / short : null, 2)}`);
}

export async function benchDecode(folder: string): Promise<void> {
  const minute = await madeMinute(folder);
  const file = join(folder, 'bench.wav');
  repeatMinute(minute, MINUTES, file);
  await speed(file);
  unlinkSync(file);
  await memory(minute, folder);
}
