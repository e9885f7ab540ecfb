/** Builds a page once into a folder of its own and serves it on 127.0.0.1 on a free port, as a static host would. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build, preview } from 'vite';

export const ROOT = join(import.meta.dirname, '..', '..');

export interface ServedPage {
  /** With a slash at its end. */
  readonly address: string;
  close(): Promise<void>;
}

/** @param root folder of the page's index.html, from the repository's root: `web` is built as it ships, others plainly */
export async function servePage(root: string): Promise<ServedPage> {
  const outDir = mkdtempSync(join(tmpdir(), 'clampline-page-'));
  const configFile = join(ROOT, 'vite.config.ts');
  const shared = {
    configFile,
    root: join(ROOT, root),
    mode: root === 'web' ? 'production' : 'views',
    logLevel: 'error',
  } as const;
  await build({ ...shared, build: { outDir, emptyOutDir: true } });
  const server = await preview({
    ...shared,
    build: { outDir },
    preview: { host: '127.0.0.1', port: 0, open: false },
  });
  const at = server.httpServer.address();
  if (at === null || typeof at === 'string') throw new Error('the page was given no port');
  return {
    address: `http://127.0.0.1:${at.port}/`,
    async close() {
      await server.close();
      rmSync(outDir, { recursive: true, force: true });
    },
  };
}
