/** Finds a Chromium, Chrome or Edge on this machine, or installs Debian's where that may be done. */
import { execFileSync } from 'node:child_process';
import { accessSync, constants, existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';

const NAMES = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'microsoft-edge',
  'microsoft-edge-stable',
];
const USUAL_PATHS = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
  ...['PROGRAMFILES', 'PROGRAMFILES(X86)', 'LOCALAPPDATA'].flatMap((folder) => {
    const root = process.env[folder];
    if (!root) return [];
    return [
      join(root, 'Google', 'Chrome', 'Application', 'chrome.exe'),
      join(root, 'Microsoft', 'Edge', 'Application', 'msedge.exe'),
      join(root, 'Chromium', 'Application', 'chrome.exe'),
    ];
  }),
];

const canRun = (path: string): boolean => {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
};

/** @param env CLAMPLINE_CHROMIUM names one and is believed
 *  @returns an executable's path; null where there is none
 *  @throws RangeError if CLAMPLINE_CHROMIUM names nothing that runs */
export function findChromium(env: NodeJS.ProcessEnv = process.env): string | null {
  const named = env['CLAMPLINE_CHROMIUM'];
  if (named) {
    if (canRun(named)) return named;
    throw new RangeError(`CLAMPLINE_CHROMIUM must name a browser that runs, got ${named}`);
  }
  const inPath = (env['PATH'] ?? '')
    .split(delimiter)
    .flatMap((folder) => NAMES.map((name) => join(folder, name)));
  return [...inPath, ...USUAL_PATHS].find(canRun) ?? null;
}

/** The browser for the tests, installed if it is missing and may be.
 * @throws Error with one line that says what to install */
export function chromiumForTests(): string {
  const found = findChromium();
  if (found) return found;
  if (process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
    try {
      const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
      execFileSync('apt-get', ['update', '-qq'], { stdio: 'ignore', env });
      const install = ['install', '-y', '-qq', '--no-install-recommends', 'chromium'];
      execFileSync('apt-get', install, { stdio: 'ignore', env });
    } catch {
      // said below
    }
  }
  const installed = findChromium();
  if (installed) return installed;
  throw new Error(
    'The browser tests need Chromium, Chrome or Edge: install one (Debian: apt-get install chromium) or name it in CLAMPLINE_CHROMIUM.',
  );
}
