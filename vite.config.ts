import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';
import { pageParts } from './build/page-parts.ts';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

const IN_A_BROWSER = {
  globalSetup: ['test/helpers/browser-setup.ts'],
  testTimeout: 120_000,
  hookTimeout: 120_000,
};
/** By itself the runner leaves a core free, which on two is half of them. */
const TWO_AT_A_TIME = { pool: 'threads', maxWorkers: 2 } as const;
const SHARED_MODULES = { ...TWO_AT_A_TIME, isolate: false } as const;
const IN_REAL_TIME = ['test/browser/capture.test.ts', 'test/browser/nothing-lost.test.ts'];

/** Each file costs a browser some milliseconds: what the page begins with is one, small parts that views share are joined. */
const FEW_FILES = {
  groups: [
    { name: 'page', tags: ['$initial' as const], priority: 2 },
    {
      ...{ name: 'shared', minShareCount: 2, priority: 1 },
      ...{ entriesAware: true, entriesAwareMergeThreshold: 6000 },
    },
  ],
};

export default defineConfig(({ command, mode }) => ({
  root: here('web'),
  base: './', // any static folder will do
  plugins: [
    svelte({ configFile: here('web/svelte.config.js') }),
    ...pageParts(command === 'build' && mode === 'production'),
  ],
  worker: { format: 'es' },
  build: {
    ...{ outDir: here('dist'), emptyOutDir: true, assetsInlineLimit: 0, target: 'es2022' },
    cssCodeSplit: false,
    rolldownOptions: { output: { codeSplitting: FEW_FILES } },
  },
  test: {
    root: here('.'),
    environment: 'node',
    testTimeout: 60_000,
    projects: [
      {
        extends: true,
        // Pure functions: nothing that one file could leave for the next, so that each worker loads the modules once.
        test: {
          ...SHARED_MODULES,
          name: 'unit',
          include: ['test/{dsp,core,samples}/**/*.test.ts', 'test/*.test.ts'],
        },
      },
      { extends: true, test: { ...TWO_AT_A_TIME, name: 'unit, page', include: ['test/web/**/*.test.ts'] } },
      { extends: true, test: { ...SHARED_MODULES, name: 'outside', include: ['test/outside/**/*.test.ts'] } },
      {
        extends: true,
        test: {
          ...IN_A_BROWSER,
          name: 'browser',
          include: ['test/browser/**/*.test.ts', 'test/faults/**/*.test.ts'],
          exclude: [...IN_REAL_TIME],
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
        },
      },
      {
        extends: true,
        test: {
          ...IN_A_BROWSER,
          name: 'browser in real time',
          include: [...IN_REAL_TIME],
          // One browser at a time, after the rest: what they measure is lost where the machine has too much to do.
          maxWorkers: 1,
          sequence: { groupOrder: 2 },
        },
      },
    ],
  },
}));
