/** Every view in every theme, on laptop and phone, under axe-core: it finds nothing. WCAG 2.2 to AA, and the enhanced
 * contrast of AAA (7:1), as the rules of axe-core have them. */
import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { type ViewName, VIEWS } from '../../web/view-list';
import { launchChromium } from '../helpers/chromium';
import { openView, resizeTo } from '../helpers/page-acts';

declare global {
  interface Window {
    axe: typeof axe;
  }
}

/** Every view while all goes well and in an empty job; the views that tell of trouble in each kind of it. */
const SCENES: Readonly<Record<string, readonly ViewName[]>> = {
  ...{ following: VIEWS, empty: VIEWS },
  ...{ lost: ['sound', 'run'], recording: ['sound'], practice: ['sound', 'run'], refused: ['sound'] },
};
const SIZES = [
  { width: 1280, height: 800 },
  { width: 390, height: 844 },
];

let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
});
afterAll(() => browser.close());

/** What axe-core finds on the page: each rule with the elements that break it. The enhanced contrast
 * rule leaves what is under 4.5:1 to the plain one: both are asked.
 * @param only 'colour': the rules that look at colours alone, for a page that differs from one looked at by its theme */
async function findings(page: Page, only: 'all' | 'colour' = 'all'): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(axe.source);
  return page.evaluate(async (kind) => {
    const { violations } = await window.axe.run(document, {
      resultTypes: ['violations'],
      rules: {
        'target-size': { enabled: kind === 'all' },
        'color-contrast-enhanced': { enabled: true },
      },
      ...(kind === 'colour' && { runOnly: { type: 'tag', values: ['cat.color'] } }),
    });
    return violations.flatMap(({ id, nodes }) => nodes.map((node) => `${id}: ${node.html.slice(0, 160)}`));
  }, only);
}

async function openedAt(scene: string, view: string): Promise<Page> {
  const context = await browser.newContext({ viewport: SIZES[0]!, reducedMotion: 'reduce' });
  const page = await context.newPage();
  await page.goto(`${inject('viewsAddress')}?scene=${scene}&theme=sun#${view}`);
  await page.locator('main > *').first().waitFor();
  return page;
}
const show = (page: Page, theme: 'sun' | 'night'): Promise<void> =>
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

test.each(Object.entries(SCENES))('axe-core finds nothing while %s', async (scene, views) => {
  const page = await openedAt(scene, views[0]!);
  for (const size of SIZES) {
    await resizeTo(page, size);
    for (const view of views) {
      await openView(page, view);
      await show(page, 'sun');
      expect(await findings(page), `${view}, sun, ${size.width} px`).toEqual([]);
      await show(page, 'night');
      expect(await findings(page, 'colour'), `${view}, night, ${size.width} px`).toEqual([]);
    }
  }
  await page.context().close();
});

test('axe-core finds nothing in the sheets that open over the page', async () => {
  const page = await openedAt('following', 'jobs');
  await resizeTo(page, SIZES[1]!);
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
  await page.goto(`${inject('viewsAddress')}?scene=empty&theme=sun#engine`);
  await page.getByRole('button', { name: 'Try it on the practice engine' }).click();
  await page.getByTestId('guide').waitFor();
  expect(await findings(page)).toEqual([]);
  await page.context().close();
});
