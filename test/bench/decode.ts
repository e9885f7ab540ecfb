/** Decode speed as a multiple of real time, beside the yardstick on the same file in the same run; what a crank sensor on
 * the second channel adds; peak memory on an hour against a minute. */
import { existsSync, statSync, unlinkSync } from 'node:fs';
import { join } from 'node:path';
import { madeMinute, repeatMinute } from './long-file';
import { run } from './process';
import { CLI, MINUTES, RATE_HZ, YARDSTICK } from './settings';

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

/** The same two-channel file with the second one left alone, and with the advance of every spark. */
async function twoChannels(folder: string, pickup: 'plug' | 'coil'): Promise<void> {
  const file = join(folder, 'two.wav');
  const driven = ['--profile', 'blip', '--seconds', '120', '--rate', String(RATE_HZ), '--noise', '35'];
  await run('node', [...CLI, 'simulate', ...driven, '--channels', '2', '--pickup', pickup, '--out', file]);
  const decode = ['decode', file, '--pickup', pickup, '--cylinders', '8', '--json'];
  const one = await run('node', [...CLI, ...decode]);
  const two = await run('node', [...CLI, ...decode, '--reference-channel', '2', '--reference-deg', '60']);
  const ratio = one.cpuSeconds && two.cpuSeconds ? two.cpuSeconds / one.cpuSeconds : null;
  console.log(
    `crank sensor beside a ${pickup} lead, 2 min of free revs: ${text(two.cpuSeconds, 2)} s of processor, ${text(one.cpuSeconds, 2)} s without it, ratio ${text(ratio, 2)}`,
  );
  unlinkSync(file);
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
  await twoChannels(folder, 'plug');
  await twoChannels(folder, 'coil');
  await memory(minute, folder);
}
