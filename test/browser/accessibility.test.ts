/** Every view in every theme, on laptop and phone, under axe-core: it finds nothing. WCAG 2.2 to AA, and the enhanced
 * contrast of AAA (7:1), as the rules of axe-core have them. */
import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { VIEWS } from '../../web/view-list';
import { launchChromium } from '../helpers/chromium';
import { openView } from '../helpers/page-acts';

declare global {
  interface Window {
    axe: typeof axe;
  }
}

/** Every view while all goes well and in an empty job; the views that tell of trouble in each kind of it. */
const CASES = [
  ...['following', 'empty'].flatMap((scene) => VIEWS.map((view) => ({ scene, view }))),
  ...['lost', 'recording', 'practice', 'refused'].map((scene) => ({ scene, view: 'sound' })),
  { scene: 'practice', view: 'run' },
  { scene: 'lost', view: 'run' },
];
const THEMES = ['sun', 'night'] as const;
const SIZES = [
  { width: 1280, height: 800 },
  { width: 390, height: 844 },
];

let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
});
afterAll(() => browser.close());

/** What axe-core finds on the page: each rule with the elements that break it. */
async function findings(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  return page.evaluate(async () => {
    const { violations } = await window.axe.run(document, {
      rules: { 'target-size': { enabled: true }, 'color-contrast-enhanced': { enabled: true } },
    });
    return violations.flatMap(({ id, nodes }) => nodes.map((node) => `${id}: ${node.html.slice(0, 160)}`));
  });
}

async function openedAt(scene: string, view: string): Promise<Page> {
  const context = await browser.newContext({ viewport: SIZES[0]!, reducedMotion: 'reduce' });
  const page = await context.newPage();
  await page.goto(`${inject('viewsAddress')}?scene=${scene}&theme=sun#${view}`);
  await page.locator('main > *').first().waitFor();
  return page;
}
const show = (page: Page, theme: (typeof THEMES)[number]): Promise<void> =>
  page.evaluate((name) => {
    document.documentElement.dataset['theme'] = name;
  }, theme);

test('axe-core finds what is wrong when something is: a button without a name, pale text', async () => {
  const page = await openedAt('following', 'jobs');
  await page.evaluate(() => {
    const pale = document.createElement('p');
    pale.textContent = 'pale';
    pale.style.cssText = 'color:#aaa;background:#fff';
    document.querySelector('main')?.append(document.createElement('button'), pale);
  });
  const found = await findings(page);
  expect(found.some((line) => line.startsWith('button-name'))).toBe(true);
  expect(found.some((line) => line.startsWith('color-contrast'))).toBe(true);
  await page.context().close();
});

test.each(CASES)('axe-core finds nothing in $view while $scene', async ({ scene, view }) => {
  const page = await openedAt(scene, view);
  for (const size of SIZES) {
    await page.setViewportSize(size);
    for (const theme of THEMES) {
      await show(page, theme);
      expect(await findings(page), `${theme}, ${size.width} px`).toEqual([]);
    }
  }
  await page.context().close();
});

test('axe-core finds nothing in the sheets that open over the page', async () => {
  const page = await openedAt('following', 'jobs');
  await page.setViewportSize(SIZES[1]!);
  await page.getByRole('button', { name: 'Cautions' }).first().click();
  await page.getByRole('dialog').waitFor();
  expect(await findings(page)).toEqual([]);
  await page.getByRole('button', { name: 'Close' }).click();
  await page.getByRole('button', { name: 'Remove Two-stroke single' }).click();
  await page.getByRole('dialog').waitFor();
  expect(await findings(page)).toEqual([]);
  await page.getByRole('button', { name: 'Keep it', exact: true }).click();
  await page.getByRole('button', { name: 'More', exact: true }).click();
  expect(await findings(page)).toEqual([]);
  await page.keyboard.press('Escape');
  await openView(page, 'engine');
  await page.getByRole('button', { name: 'What is Strokes?' }).click();
  expect(await findings(page)).toEqual([]);
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'Add a set-up' }).click();
  await page.getByRole('dialog').waitFor();
  expect(await findings(page)).toEqual([]);
  await page.context().close();
});
