/** A plot looked at closer, and a run gone through again: on a made run, with the browser's own sound output. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { launchChromium } from '../helpers/chromium';

let browser: Browser;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
  page = await (await browser.newContext({ viewport: { width: 1280, height: 800 } })).newPage();
  await page.goto(`${inject('viewsAddress')}?scene=following#result`);
  await page.getByRole('button', { name: 'Go through the run again' }).waitFor();
});
afterAll(() => browser?.close());

const button = (name: string) => page.getByRole('button', { name, exact: true });
const speedSlider = () => page.getByRole('slider', { name: 'Speed to look at' });
const momentSlider = () => page.getByRole('slider', { name: 'Moment to look at' });
const said = async (slider = speedSlider()): Promise<string> =>
  (await slider.getAttribute('aria-valuetext'))!;

test('the arrow keys move the point along the curve, and its figures are told', async () => {
  await speedSlider().focus();
  await page.keyboard.press('ArrowRight');
  const before = await speedSlider().inputValue();
  expect(await said()).toMatch(new RegExp(`^${before} rpm: curve [\\d.]+° \\([\\d.]+ to [\\d.]+°\\)`));
  await page.keyboard.press('ArrowRight');
  expect(Number(await speedSlider().inputValue())).toBe(Number(before) + 10);
});

test('closer, wider and whole change the stretch that is shown', async () => {
  const stretch = async (): Promise<number> => {
    const [min, max] = await Promise.all(['min', 'max'].map((name) => speedSlider().getAttribute(name)));
    return Number(max) - Number(min);
  };
  const whole = await stretch();
  await button('Closer').first().click();
  await button('Closer').first().click();
  expect(await stretch()).toBe(whole / 4);
  await button('Wider').first().click();
  expect(await stretch()).toBe(whole / 2);
  await button('Whole').first().click();
  expect(await stretch()).toBe(whole);
});

test('the mouse tells the figures where it points, and a frame drawn with it is looked at closer', async () => {
  const plot = page.getByRole('region', { name: 'Curve' }).locator('.u-over');
  await plot.scrollIntoViewIfNeeded();
  const box = (await plot.boundingBox())!;
  const whole = Number(await speedSlider().getAttribute('max'));
  const at = (share: number) => [box.x + share * box.width, box.y + box.height / 2] as const;
  await page.mouse.move(...at(0.25));
  await expect.poll(() => said()).toMatch(/^\d+ rpm: /);
  const quarter = Number((await said()).split(' ')[0]);
  await page.mouse.move(...at(0.5));
  await expect.poll(async () => Number((await said()).split(' ')[0])).toBeGreaterThan(quarter);
  await page.mouse.down();
  await page.mouse.move(...at(0.75), { steps: 4 });
  await page.mouse.up();
  await expect.poll(async () => Number(await speedSlider().getAttribute('max'))).toBeLessThan(whole);
  await button('Whole').first().click();
});

test('the readings are stepped through, and one is pinned to another moment of the trace', async () => {
  await button('Go through the run again').click();
  await button('First reading →').click();
  await button('Later reading →').click();
  const status = page.getByRole('status').filter({ hasText: 'Reading 2 of 13' });
  await status.waitFor();
  const before = await status.innerText();
  await button('+0.5 s').click();
  const speed = await page.getByText('Pinned here it would be').locator('strong').innerText();
  await button('Pin the reading here').click();
  await page.getByText('Pinned here it would be').waitFor({ state: 'hidden' });
  expect(await status.innerText()).not.toBe(before);
  const row = page.getByRole('row').filter({ has: page.getByRole('button', { name: 'Change reading 2' }) });
  const shown = parseInt(await row.getByRole('cell').first().innerText());
  expect(Math.abs(shown - parseInt(speed))).toBeLessThanOrEqual(5); // said to tens, kept to the revolution
});

test('the strikes about the moment are heard, and the point goes along with them', async () => {
  const before = await momentSlider().inputValue();
  await button('Hear the strikes').click();
  await button('Stop').waitFor();
  await expect.poll(() => momentSlider().inputValue()).not.toBe(before);
  await button('Stop').click();
  await button('Stop').waitFor({ state: 'hidden' });
  expect(await momentSlider().inputValue()).toBe(before);
});

test('where no sound was kept that is said', async () => {
  await button('Hear the sound').click();
  await page.getByText('No sound was kept at this moment.').waitFor();
});
