/** `npm start` as a person meets it: an address that serves the page, one plain line for a port that is taken. */
import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';

const ROOT = join(import.meta.dirname, '..', '..');
const started: ChildProcess[] = [];
afterEach(() => {
  for (const child of started.splice(0)) child.kill('SIGKILL');
});

interface Started {
  readonly child: ChildProcess;
  readonly out: () => string;
  readonly err: () => string;
  readonly ended: Promise<number | null>;
}

function start(...args: string[]): Started {
  const child = spawn(process.execPath, [join(ROOT, 'web', 'start.mjs'), ...args], { cwd: ROOT });
  started.push(child);
  let [out, err] = ['', ''];
  child.stdout.on('data', (text: Buffer) => (out += text.toString()));
  child.stderr.on('data', (text: Buffer) => (err += text.toString()));
  const ended = once(child, 'close').then(([code]: (number | null)[]) => code ?? null);
  return { child, out: () => out, err: () => err, ended };
}

test('npm start says its address, serves the page there, and ends when it is interrupted', async () => {
  const { child, out, err, ended } = start('--port', '0');
  while (!out().includes('\n') && child.exitCode === null) await new Promise((done) => setTimeout(done, 50));
  expect(err()).toBe('');
  expect(out()).toMatch(/^Clampline is at http:\/\/127\.0\.0\.1:\d+\/ .*\n$/);
  const address = /http:\S+/.exec(out())![0];
  const page = await fetch(address);
  expect(page.status).toBe(200);
  expect(await page.text()).toContain('<title>Clampline</title>');
  child.kill('SIGINT');
  expect(await ended).toBe(0);
  await expect(fetch(address)).rejects.toThrow();
});

test('a port that is taken is said in one plain line, with exit 1', async () => {
  const holder = createServer().listen(0, '127.0.0.1');
  await once(holder, 'listening');
  const { port } = holder.address() as { port: number };
  const { out, err, ended } = start('--port', String(port));
  expect(await ended).toBe(1);
  expect(out()).toBe('');
  expect(err()).toBe(
    `Port ${port} is taken: stop what uses it, or choose another with npm start -- --port N.\n`,
  );
  holder.close();
});

test.each(['x', '70000', '-1', '80.5'])('%s is refused as a port in one line', async (port) => {
  const { err, ended } = start(`--port=${port}`);
  expect(await ended).toBe(1);
  expect(err()).toBe(`A port must be a whole number from 0 to 65535, got ${port}.\n`);
});
