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

export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  project.provide('chromiumPath', chromiumForTests());
  const served: ServedPage[] = [];
  const close = async (): Promise<void> => {
    for (const page of served.splice(0)) await page.close();
  };
  try {
    for (const [name, root] of PAGES) {
      served.push(await servePage(root));
      project.provide(name, served.at(-1)!.address);
    }
  } catch (error) {
    await close();
    throw error;
  }
  return close;
}
