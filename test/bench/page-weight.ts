/** What the first visit loads before its view stands: entry and Engine view with all that they import, gzipped; and
 * what follows for that view's plots. */
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { build, type Manifest } from 'vite';
import { ROOT } from './settings';

const kb = (bytes: number): string => `${(bytes / 1000).toFixed(1)} kB`;
const YARDSTICK_KB = 80; // a light page's script, gzipped
const FIRST = ['index.html', 'views/Engine.svelte'];

/** Script files of the named parts and of all that they import at once. */
function scriptsOf(manifest: Manifest, names: readonly string[]): ReadonlySet<string> {
  const [seen, scripts] = [new Set<string>(), new Set<string>()];
  const take = (name: string): void => {
    const part = manifest[name];
    if (!part) throw new Error(`the build has no part named ${name}`);
    if (seen.has(name)) return;
    seen.add(name);
    scripts.add(part.file);
    part.imports?.forEach(take);
  };
  names.forEach(take);
  return scripts;
}

export async function benchPageWeight(folder: string): Promise<void> {
  const out = join(folder, 'page');
  const configFile = join(ROOT, 'vite.config.ts');
  await build({ configFile, build: { outDir: out, manifest: 'manifest.json' }, logLevel: 'error' });
  const manifest = JSON.parse(readFileSync(join(out, 'manifest.json'), 'utf8')) as Manifest;
  const weigh = (names: Iterable<string>): number =>
    [...names].reduce((sum, name) => sum + gzipSync(readFileSync(join(out, name))).length, 0);
  const first = weigh(scriptsOf(manifest, FIRST));
  const plots = Object.values(manifest).filter(
    ({ name, isDynamicEntry }) => isDynamicEntry && name?.startsWith('uPlot'),
  );
  const files = readdirSync(out, { recursive: true, encoding: 'utf8' });
  const ending = (end: string): string[] => files.filter((name) => name.endsWith(end));
  console.log(`first load, gzipped: script ${kb(first)}, style of all views ${kb(weigh(ending('.css')))}`);
  console.log(`then for its plot: ${kb(weigh(plots.map(({ file }) => file)))}`);
  console.log(`all script with worker and worklet: ${kb(weigh(ending('.js')))}`);
  console.log(`ratio first script / ${YARDSTICK_KB} kB: ${(first / 1000 / YARDSTICK_KB).toFixed(2)}`);
}
