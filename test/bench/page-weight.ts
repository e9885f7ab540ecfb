/** What the first visit loads: script and style named by the built index.html, gzipped. */
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { build } from 'vite';
import { ROOT } from './settings';

const kb = (bytes: number): string => `${(bytes / 1000).toFixed(1)} kB`;
const YARDSTICK_KB = 80; // a light page's script, gzipped

export async function benchPageWeight(folder: string): Promise<void> {
  const out = join(folder, 'page');
  await build({ configFile: join(ROOT, 'vite.config.ts'), build: { outDir: out }, logLevel: 'error' });
  const html = readFileSync(join(out, 'index.html'), 'utf8');
  const named = [...html.matchAll(/(?:src|href)="\.\/([^"]+\.(?:js|css))"/g)].map((match) => match[1]!);
  const weigh = (names: readonly string[]): number =>
    names.reduce((sum, name) => sum + gzipSync(readFileSync(join(out, name))).length, 0);
  const scripts = named.filter((name) => name.endsWith('.js'));
  const first = weigh(scripts);
  const all = readdirSync(out, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.js'));
  console.log(
    `first load, gzipped: script ${kb(first)}, style ${kb(weigh(named.filter((name) => name.endsWith('.css'))))}`,
  );
  console.log(`all script with worker and worklet: ${kb(weigh(all))}`);
  console.log(`ratio first script / ${YARDSTICK_KB} kB: ${(first / 1000 / YARDSTICK_KB).toFixed(2)}`);
}
