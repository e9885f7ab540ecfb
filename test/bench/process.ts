/** Runs a command to its end: seconds it took by the clock and of processor, and the most memory it held (the last two on
 * Linux; null elsewhere). */
import { spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';

export interface Ran {
  readonly seconds: number;
  /** Of all its threads: what else runs on the machine does not count. */
  readonly cpuSeconds: number | null;
  readonly peakMb: number | null;
  readonly stdout: string;
}

const POLL_MS = 20;

/** The kernel's own high-water mark, megabytes. */
function highWaterMb(pid: number): number | null {
  const path = `/proc/${pid}/status`;
  if (!existsSync(path)) return null;
  const kb = /VmHWM:\s+(\d+) kB/.exec(readFileSync(path, 'utf8'))?.[1];
  return kb === undefined ? null : Number(kb) / 1024;
}

const TICKS_PER_S = 100; // [Linux proc(5): clock ticks, USER_HZ]

/** Processor time so far, seconds. */
function processorS(pid: number): number | null {
  const path = `/proc/${pid}/stat`;
  if (!existsSync(path)) return null;
  // Behind the name, which may hold anything but ends with the last bracket: state is field 3, utime 14, stime 15.
  const fields = readFileSync(path, 'utf8').split(') ').at(-1)!.split(' ');
  return (Number(fields[14 - 3]) + Number(fields[15 - 3])) / TICKS_PER_S;
}

/** @throws Error with what the command printed if it fails */
export function run(command: string, args: readonly string[]): Promise<Ran> {
  const start = performance.now();
  const child = spawn(command, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  let peakMb: number | null = null;
  let cpuSeconds: number | null = null;
  const poll = setInterval(() => {
    peakMb = highWaterMb(child.pid!) ?? peakMb;
    cpuSeconds = processorS(child.pid!) ?? cpuSeconds;
  }, POLL_MS);
  let stdout = '';
  let stderr = '';
  child.stdout.on('data', (data: Buffer) => (stdout += data));
  child.stderr.on('data', (data: Buffer) => (stderr += data));
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => {
      clearInterval(poll);
      if (code === 0) resolve({ seconds: (performance.now() - start) / 1000, cpuSeconds, peakMb, stdout });
      else reject(new Error(`${command} ${args.join(' ')} ended with ${code}: ${stderr}`));
    });
  });
}
