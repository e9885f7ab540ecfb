/** From the navigation to a first view that answers, by the page's own clock: on a first visit, with the page kept by its
 * service worker and the server shut, and on a run that has gone on for half an hour; and what shifts in any view. */
import type { Browser, Page } from 'playwright-core';
import { VIEWS } from '../../web/view-list';
import { FolderServer } from '../helpers/folder-server';
import { servePage } from '../helpers/page-server';
import { freshPage, launch, sayTimes } from './browse';
import { keepHalfAnHour } from './half-hour';
import { shiftsOverAllViews } from './layout-shift';

const VISITS = 10;
const USABLE_MS = 1000;
const STANDS = 'main[data-view] > :not(h1)';
/** A page of one word: what the browser and the machine take by themselves. */
const EMPTY_PAGE = 'data:text/html,<main data-view><p>here</p></main>';

/** Loads an address. @returns milliseconds from the navigation's start until the view stands, a frame was drawn and a task
 * handed to the main thread is answered */
async function usableMs(page: Page, address: string): Promise<number> {
  await page.goto('about:blank');
  await page.goto(address, { waitUntil: 'commit' });
  await page.locator(STANDS).first().waitFor({ state: 'attached' });
  return page.evaluate(() => window.usableAtMs);
}

declare global {
  interface Window {
    usableAtMs: Promise<number>;
  }
}

const WATCH = (stands: string): void => {
  window.usableAtMs = new Promise((resolve) => {
    const look = (): void => {
      if (!document.querySelector(stands)) requestAnimationFrame(look);
      else requestAnimationFrame(() => setTimeout(() => resolve(performance.now())));
    };
    look();
  });
};

async function firstVisits(browser: Browser, address: string): Promise<void> {
  const tookMs: number[] = [];
  for (let n = 0; n < VISITS; n++) {
    const page = await freshPage(browser, { serviceWorkers: 'block' });
    await page.addInitScript(WATCH, STANDS);
    tookMs.push(await usableMs(page, `${address}#${VIEWS[n % VIEWS.length]!}`));
    await page.context().close();
  }
  sayTimes('first visit, nothing kept', tookMs, USABLE_MS);
}

async function emptyVisits(browser: Browser): Promise<void> {
  const tookMs: number[] = [];
  for (let n = 0; n < VISITS; n++) {
    const page = await freshPage(browser);
    await page.addInitScript(WATCH, STANDS);
    tookMs.push(await usableMs(page, EMPTY_PAGE));
    await page.context().close();
  }
  sayTimes('a page of one word', tookMs, USABLE_MS);
}

async function keptVisits(browser: Browser, server: FolderServer): Promise<void> {
  const page = await freshPage(browser);
  await page.addInitScript(WATCH, STANDS);
  await page.goto(server.address);
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    while (!navigator.serviceWorker.controller) await new Promise((resolve) => setTimeout(resolve, 50));
  });
  await server.shut();
  const tookMs: number[] = [];
  for (let n = 0; n < VISITS; n++)
    tookMs.push(await usableMs(page, `${server.address}#${VIEWS[n % VIEWS.length]!}`));
  await page.context().close();
  sayTimes('kept by its service worker, the server shut', tookMs, USABLE_MS);
}

async function onLongRun(browser: Browser, address: string): Promise<void> {
  const page = await freshPage(browser);
  await page.addInitScript(WATCH, STANDS);
  await keepHalfAnHour(page, address);
  const tookMs: number[] = [];
  for (let n = 0; n < VISITS; n++) tookMs.push(await usableMs(page, `${address}#run`));
  await page.context().close();
  sayTimes('opened on a run of half an hour', tookMs, USABLE_MS);
}

export async function benchFirstLoad(): Promise<void> {
  const served = await servePage('web');
  const server = new FolderServer(served.address);
  await server.open();
  const browser = await launch(null);
  try {
    await emptyVisits(browser);
    await firstVisits(browser, served.address);
    await keptVisits(browser, server);
    await onLongRun(browser, served.address);
    await shiftsOverAllViews(browser, served.address);
  } finally {
    await browser.close();
    await server.shut();
    await served.close();
  }
}
