/** Reads every import line of dsp, core and web and holds the rule: dsp <- core <- web, nothing against the arrow. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { expect, test } from 'vitest';

const ROOT = resolve(import.meta.dirname, '..');
const MAY_IMPORT: Record<string, readonly string[]> = {
  dsp: ['dsp'],
  core: ['core', 'dsp'],
  web: ['web', 'core', 'dsp'],
};
const NODE_FILES = new Set(['core/cli.ts']);
const IMPORT = /(?:from\s+|import\s*\(\s*|import\s+)['"]([^'"]+)['"]/g;

interface ImportLine {
  readonly file: string;
  readonly layer: string;
  readonly of: string;
}

function importLines(layer: string): ImportLine[] {
  return readdirSync(join(ROOT, layer), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ts|svelte)$/.test(name))
    .flatMap((name) => {
      const file = join(layer, name);
      const text = readFileSync(join(ROOT, file), 'utf8');
      return [...text.matchAll(IMPORT)].map((match) => ({ file, layer, of: match[1]! }));
    });
}

const ALL = Object.keys(MAY_IMPORT).flatMap(importLines);

/** The top-level folder that a relative import reaches; null for a package. */
const reached = ({ file, of }: ImportLine): string | null =>
  of.startsWith('.') ? relative(ROOT, resolve(ROOT, dirname(file), of)).split('/')[0]! : null;

test('there are import lines to check in each layer', () => {
  for (const layer of Object.keys(MAY_IMPORT))
    expect(ALL.filter((line) => line.layer === layer).length).toBeGreaterThan(5);
});

test('nothing imports against the arrow dsp <- core <- web', () => {
  const wrong = ALL.filter((line) => {
    const layer = reached(line);
    return layer !== null && !MAY_IMPORT[line.layer]!.includes(layer);
  });
  expect(wrong).toEqual([]);
});

test('only the command line touches Node', () => {
  expect(
    ALL.filter(({ file, of }) => of.startsWith('node:') && !NODE_FILES.has(file) && !file.endsWith('.mjs')),
  ).toEqual([]);
});

// What turns sound into speed, speed into sound, or writes either down. The rest of core is rpm and degrees.
const HEARS =
  /^core\/(advance|decode|speed)|^core\/(commands|practice|scenario|sensor)\/|^core\/files\/csv-trace/;
test('in core only what turns sound into speed, or speed into sound, imports dsp', () => {
  const wrong = ALL.filter((line) => line.layer === 'core' && reached(line) === 'dsp').filter(
    ({ file }) => !HEARS.test(file),
  );
  expect(wrong).toEqual([]);
});

test('only web knows the browser packages', () => {
  const browserOnly = /^(svelte|uplot|comlink|idb|browser-fs-access)/;
  expect(ALL.filter(({ layer, of }) => layer !== 'web' && browserOnly.test(of))).toEqual([]);
});

test('only web/plot draws with the plot package', () => {
  expect(ALL.filter(({ file, of }) => of.startsWith('uplot') && !file.startsWith('web/plot/'))).toEqual([]);
});

test('dsp knows no engine: no revolutions and no cylinders in its names', () => {
  const words = /\b\w*(rpm|cylinder|crankshaft)\w*\b/i;
  const wrong = readdirSync(join(ROOT, 'dsp'), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .filter((name) =>
      words.test(readFileSync(join(ROOT, 'dsp', name), 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '')),
    );
  expect(wrong).toEqual([]);
});
