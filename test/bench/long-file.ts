/** Long recordings for the benchmarks: one made minute, repeated, so that an hour costs a minute to make. */
import { closeSync, openSync, readFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { CLI, RATE_HZ } from './settings';
import { run } from './process';

const HEADER_BYTES = 44;

/** 16-bit mono PCM header [RIFF/WAVE, Microsoft and IBM 1991; from memory]. */
function header(dataBytes: number): Buffer {
  const head = Buffer.alloc(HEADER_BYTES);
  head.write('RIFF', 0);
  head.writeUInt32LE(dataBytes + HEADER_BYTES - 8, 4);
  head.write('WAVEfmt ', 8);
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(1, 20);
  head.writeUInt16LE(1, 22);
  head.writeUInt32LE(RATE_HZ, 24);
  head.writeUInt32LE(RATE_HZ * 2, 28);
  head.writeUInt16LE(2, 32);
  head.writeUInt16LE(16, 34);
  head.write('data', 36);
  head.writeUInt32LE(dataBytes, 40);
  return head;
}

/** @returns the made minute's samples, 16 bit little endian */
export async function madeMinute(folder: string): Promise<Buffer> {
  const path = join(folder, 'minute.wav');
  const recipe = ['--seconds', '60', '--rate', String(RATE_HZ), '--bits', '16', '--seed', '7'];
  await run('node', [...CLI, 'simulate', ...recipe, '--out', path]);
  const bytes = readFileSync(path);
  return bytes.subarray(bytes.indexOf('data') + 8);
}

/** Writes `minutes` of it to one file. */
export function repeatMinute(minute: Buffer, minutes: number, path: string): void {
  const file = openSync(path, 'w');
  writeSync(file, header(minute.length * minutes));
  for (let i = 0; i < minutes; i++) writeSync(file, minute);
  closeSync(file);
}
