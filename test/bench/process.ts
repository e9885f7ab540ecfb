/** Runs a command to its end: seconds it took and the most memory it held (Linux; null elsewhere). */
import { spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';

export interface Ran {
  readonly seconds: number;
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

/** @throws Error with what the command printed if it fails */
export function run(command: string, args: readonly string[]): Promise<Ran> {
  const start = performance.now();
  const child = spawn(command, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  let peakMb: number | null = null;
  const poll = setInterval(() => (peakMb = highWaterMb(child.pid!) ?? peakMb), POLL_MS);
  let stdout = '';
  let stderr = '';
  child.stdout.on('data', (data: Buffer) => (stdout += data));
  child.stderr.on('data', (data: Buffer) => (stderr += data));
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => {
      clearInterval(poll);
      if (code === 0) resolve({ seconds: (performance.now() - start) / 1000, peakMb, stdout });
      else reject(new Error(`${command} ${args.join(' ')} ended with ${code}: ${stderr}`));
    });
  });
}
