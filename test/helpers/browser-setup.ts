/** Before the browser tests: a browser is found or installed, the pages are built once and served. A test is never
 * skipped for want of one: the run fails with one line. */
import type { TestProject } from 'vitest/node';
import { chromiumForTests } from './find-chromium';
import { servePage } from './page-server';

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

export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  project.provide('chromiumPath', chromiumForTests());
  const [page, views, live] = [
    await servePage('web'),
    await servePage('test/browser/harness'),
    await servePage('test/browser/live'),
  ];
  project.provide('pageAddress', page.address);
  project.provide('viewsAddress', views.address);
  project.provide('liveAddress', live.address);
  return async () => {
    for (const served of [page, views, live]) await served.close();
  };
}
