/** Before the browser tests: a browser is found or installed, the pages are built once and served. A test is never
 * skipped for want of one: the run fails with one line. */
import type { TestProject } from 'vitest/node';
import { chromiumForTests } from './find-chromium';
import { servePage, type ServedPage } from './page-server';

declare module 'vitest' {
  interface ProvidedContext {
    /** The browser's executable. */
    chromiumPath: string;
    /** The real page. */
    pageAddress: string;
    /** The real views on a made state. */
    viewsAddress: string;
    /** The real state without views. */
    liveAddress: string;
  }
}

const PAGES = [
  ['pageAddress', 'web'],
  ['viewsAddress', 'test/browser/harness'],
  ['liveAddress', 'test/browser/live'],
] as const;

/** What every project of this process shares: pages are built once, and served until the last has ended. */
const shared = globalThis as { clamplinePages?: { users: number; readonly served: Promise<ServedPage[]> } };

async function serveAll(): Promise<ServedPage[]> {
  const served: ServedPage[] = [];
  try {
    for (const [, root] of PAGES) served.push(await servePage(root));
    return served;
  } catch (error) {
    for (const page of served) await page.close();
    throw error;
  }
}

export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  project.provide('chromiumPath', chromiumForTests());
  const pages = (shared.clamplinePages ??= { users: 0, served: serveAll() });
  pages.users++;
  const served = await pages.served;
  PAGES.forEach(([name], i) => project.provide(name, served[i]!.address));
  return async () => {
    if (--pages.users === 0) for (const page of served) await page.close();
  };
}
