/** Starts Chromium as the tests want it: quiet, alone, with a sound input that plays a file, or none at all. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Browser, type BrowserContext } from 'playwright-core';
import { inject } from 'vitest';

export interface ChromiumOptions {
  /** Recording that the made sound input plays once, 44.1 kHz, 16 bit, stereo. 'tone': the browser's own beeps. null: the
   * machine's inputs, of which a test machine has none. */
  readonly input: string | 'tone' | null;
  /** Says yes for the person when the page asks to listen. */
  readonly allows?: boolean;
  readonly args?: readonly string[];
}

/** On a machine with too much to do. */
const STARTS_WITHIN_MS = 90_000;

const QUIET = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

function argsFor({ input, allows = true, args = [] }: ChromiumOptions): string[] {
  return [
    ...QUIET,
    ...(input === null ? [] : ['--use-fake-device-for-media-stream']),
    ...(allows ? ['--use-fake-ui-for-media-stream', '--autoplay-policy=no-user-gesture-required'] : []),
    ...(input === null || input === 'tone' ? [] : [`--use-file-for-fake-audio-capture=${input}%noloop`]),
    ...args,
  ];
}

/** A browser with a profile of its own that is thrown away. */
export const launchChromium = (options: ChromiumOptions): Promise<Browser> =>
  chromium.launch({
    executablePath: inject('chromiumPath'),
    args: argsFor(options),
    timeout: STARTS_WITHIN_MS,
  });

export interface KeptChromium {
  readonly context: BrowserContext;
  /** Kills every process of this browser at once, as a crash or a pulled plug would. */
  kill(): Promise<void>;
}

/** A folder for a profile that outlives the browser. */
export const newProfile = (): string => mkdtempSync(join(tmpdir(), 'clampline-profile-'));
export const removeProfile = (folder: string): void =>
  rmSync(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 });

/** A browser on a profile that is kept: start it again on the same folder to see what was put away. */
export async function launchKept(profile: string, options: ChromiumOptions): Promise<KeptChromium> {
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: inject('chromiumPath'),
    args: argsFor(options),
    timeout: STARTS_WITHIN_MS,
  });
  return {
    context,
    async kill() {
      const gone = new Promise((resolve) => context.once('close', resolve));
      for (const pid of processesOf(profile)) process.kill(pid, 'SIGKILL');
      await gone;
    },
  };
}

/** The processes that were started on a profile; the others are no business of a test. */
function processesOf(profile: string): number[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .map(Number)
    .filter((pid) => pid !== process.pid && commandOf(pid).includes(`--user-data-dir=${profile}`));
}

function commandOf(pid: number): string {
  try {
    return readFileSync(`/proc/${pid}/cmdline`, 'utf8');
  } catch {
    return ''; // it has ended meanwhile
  }
}
