/** What the benchmarks in a browser share: a real Chromium, a made sound input, and how figures are told. */
import { join } from 'node:path';
import { chromium, type Browser, type BrowserContextOptions, type Page } from 'playwright-core';
import { chromiumForTests } from '../helpers/find-chromium';
import { run } from './process';
import { CLI } from './settings';

const QUIET = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** @param input recording that the made sound input plays over and over, 44.1 kHz, 16 bit, stereo; null: no input */
export const launch = (input: string | null): Promise<Browser> =>
  chromium.launch({
    executablePath: chromiumForTests(),
    args: [
      ...QUIET,
      ...(input === null
        ? []
        : [
            '--autoplay-policy=no-user-gesture-required',
            '--use-fake-device-for-media-stream',
            '--use-fake-ui-for-media-stream',
            `--use-file-for-fake-audio-capture=${input}`,
          ]),
    ],
  });

/** A page in a context of its own: nothing is in its cache. */
export async function freshPage(browser: Browser, options: BrowserContextOptions = {}): Promise<Page> {
  const context = await browser.newContext(options);
  await context.addInitScript('globalThis.__name ??= (it) => it'); // functions handed over are compiled with it
  return context.newPage();
}

/** A recording for `launch`, of an engine whose speed goes by corners as `simulate --profile` takes them. */
export async function makeInput(folder: string, seconds: number, more: readonly string[]): Promise<string> {
  const path = join(folder, `input-${seconds}.wav`);
  const recipe = ['--rate', '44100', '--channels', '2', '--seconds', String(seconds), ...more];
  await run('node', [...CLI, 'simulate', ...recipe, '--out', path]);
  return path;
}

export const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;

/** Tells median and worst of times, how many were no longer than they may be, and the worst as a ratio to that. */
export function sayTimes(what: string, ms: readonly number[], mostMs: number): void {
  if (ms.length === 0) return console.log(`${what}: not seen`);
  const worst = Math.max(...ms);
  const within = ms.filter((each) => each <= mostMs).length;
  console.log(
    `${what}: median ${median(ms).toFixed(0)} ms, worst ${worst.toFixed(0)} ms of ${ms.length}, ${within} within ${mostMs.toFixed(0)} ms; ratio worst / ${mostMs.toFixed(0)} ms: ${(worst / mostMs).toFixed(2)}`,
  );
}
