/** What shifts on the page: every view opened one after the other, with the practice engine heard and a run under way, on
 * a laptop and on a phone. Shifts that follow a tap are counted like the others. */
import type { Browser, Page } from 'playwright-core';
import { VIEWS } from '../../web/view-list';
import { openView, pressPastCautions } from '../helpers/page-acts';
import { freshPage } from './browse';

const SIZES = [
  { name: 'laptop', width: 1280, height: 800 },
  { name: 'phone', width: 390, height: 844 },
] as const;

interface Shift {
  readonly where: string;
  readonly value: number;
  readonly afterInput: boolean;
  readonly what: string;
}

declare global {
  interface Window {
    shifts: Shift[];
  }
  interface LayoutShift extends PerformanceEntry {
    readonly value: number;
    readonly hadRecentInput: boolean;
    readonly sources: readonly { readonly node: Node | null }[];
  }
}

const WATCH = (): void => {
  window.shifts = [];
  const nameOf = (node: Node | null): string => {
    const element = node instanceof Element ? node : (node?.parentElement ?? null);
    return element ? `${element.tagName.toLowerCase()}.${element.className}` : '?';
  };
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries() as LayoutShift[])
      window.shifts.push({
        where: document.querySelector('main')?.dataset['view'] ?? 'before the first view',
        value: entry.value,
        afterInput: entry.hadRecentInput,
        what: entry.sources.map(({ node }) => nameOf(node)).join(' '),
      });
  }).observe({ type: 'layout-shift', buffered: true });
};

async function goThrough(page: Page, address: string): Promise<void> {
  for (const view of VIEWS) {
    await page.goto('about:blank');
    await page.goto(`${address}#${view}`); // as the first view
    await page.locator('main > *').first().waitFor();
    await page.waitForTimeout(500);
    await collect(page);
  }
  for (const view of VIEWS) await look(page, view);
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Practice engine/ }).check();
  await pressPastCautions(page, page.getByRole('button', { name: 'Start the practice engine' }));
  await page.getByText('Following', { exact: true }).waitFor();
  await openView(page, 'run');
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.getByTestId('speed').filter({ hasText: 'rpm' }).waitFor();
  for (const view of VIEWS) await look(page, view);
}

const all: Shift[] = [];
async function collect(page: Page): Promise<void> {
  all.push(...(await page.evaluate(() => window.shifts.splice(0))));
}

/** Opened by its address: what shifts after a tap might be what was asked for. */
async function look(page: Page, view: string): Promise<void> {
  await page.evaluate((name) => (location.hash = name), view);
  await page.locator(`main[data-view="${view}"]`).waitFor();
  await page.waitForTimeout(700);
  await collect(page);
}

export async function shiftsOverAllViews(browser: Browser, address: string): Promise<void> {
  for (const { name, width, height } of SIZES) {
    all.length = 0;
    const page = await freshPage(browser, { viewport: { width, height } });
    await page.addInitScript(WATCH);
    await goThrough(page, address);
    await page.context().close();
    const sum = (shifts: readonly Shift[]): number => shifts.reduce((total, { value }) => total + value, 0);
    const unasked = all.filter(({ afterInput }) => !afterInput);
    console.log(
      `layout shift, ${name}: ${sum(unasked).toFixed(4)} by itself, ${sum(all).toFixed(4)} with what follows a tap`,
    );
    for (const { where, value, afterInput, what } of all)
      console.log(`  ${where}: ${value.toFixed(4)}${afterInput ? ' after a tap' : ''}: ${what}`);
  }
}
