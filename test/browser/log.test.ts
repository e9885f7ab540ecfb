/** The log in use: knock noted with one tap, what it stops, an entry, the report as a file. On a made state. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { launchChromium } from '../helpers/chromium';
import { downloadOf, openView, saveByDownload } from '../helpers/page-acts';

let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
});
afterAll(() => browser.close());

async function opened(view: string): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 390, height: 844 }, reducedMotion: 'reduce' });
  await saveByDownload(page);
  await page.goto(`${inject('viewsAddress')}?scene=following#${view}`);
  await page.locator(`main[data-view="${view}"]`).waitFor();
  return page;
}

test('one tap notes a knock at the present speed, another takes it back; it blocks more advance and stands in the log', async () => {
  const page = await opened('run');
  const knock = page.getByRole('button', { name: 'Knock heard' });
  await knock.click();
  await page.getByText('Knock noted at 1404 rpm.').waitFor(); // the scene's speed
  await page.getByRole('button', { name: 'Take back' }).click();
  expect(await page.getByTestId('knock').count()).toBe(0);
  await knock.click();
  await openView(page, 'result');
  await page
    .getByText('Knock was noted at 1404 rpm: nothing that adds advance there is advised')
    .first()
    .waitFor();
  await openView(page, 'log');
  await page.getByRole('heading', { name: 'Knock at 1404 rpm' }).waitFor();
  await page.getByRole('button', { name: /^Remove the knock of/ }).click();
  expect(await page.getByRole('heading', { name: /^Knock at/ }).count()).toBe(0);
  await page.close();
});

test('an entry goes into the log and out again; an empty one is asked for in words', async () => {
  const page = await opened('log');
  await page.getByRole('button', { name: 'Add to the log' }).click();
  await page.getByText('An entry wants some words; this is empty.').waitFor();
  await page.getByRole('radio', { name: 'On the strip' }).check();
  await page.getByLabel('In your words').fill('Half a second quicker');
  await page.getByRole('button', { name: 'Add to the log' }).click();
  await page.getByRole('heading', { name: 'On the strip' }).waitFor();
  await page.getByRole('button', { name: /^Remove this entry/ }).click();
  expect(await page.getByText('Half a second quicker').count()).toBe(0);
  await page.close();
});

test('the report is saved as one HTML page about the run', async () => {
  const page = await opened('log');
  const html = (await downloadOf(page, page.getByRole('button', { name: 'Save the report' }))).toString();
  expect(html).toMatch(/^<!doctype html>/);
  expect(html).toContain('Stand engine, eight cylinders');
  await page.close();
});
