/** The whole job on the practice engine, from the first screen to the saved file: by touch alone, led by the guide; and
 * by the keyboard alone, without it. */
import { readFile } from 'node:fs/promises';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import type { Job } from '../../core/job';
import { advanceAtSpeed, speedAtAdvance } from '../../core/mechanism';
import { practiceMechanism } from '../../core/practice/practice-distributor';
import { launchChromium } from '../helpers/chromium';
import { figureText, saveByDownload } from '../helpers/page-acts';
import { readMark } from '../helpers/read-mark';

let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
});
afterAll(() => browser.close());

async function firstScreen(options: BrowserContextOptions): Promise<Page> {
  const page = await (await browser.newContext(options)).newPage();
  await saveByDownload(page);
  await page.addInitScript(() => {
    const felt: unknown[] = [];
    Object.assign(window, { felt });
    Object.defineProperty(navigator, 'vibrate', { value: (pattern: unknown) => felt.push(pattern) > 0 });
  });
  await page.goto(inject('pageAddress'));
  await page.getByRole('button', { name: 'Try it on the practice engine' }).waitFor();
  return page;
}

/** What the guide means now: the name of its control, once the sentence is there. */
const meant = async (page: Page): Promise<string> =>
  (await page.locator('[data-guided]').getAttribute('data-guide')) ?? 'tab';

test('by touch alone a newcomer is led from the first screen to two compared runs and a saved file', async () => {
  const page = await firstScreen({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  const guide = page.getByTestId('guide');
  const tap = (name: string | RegExp): Promise<void> =>
    page.getByRole('button', { name, ...(typeof name === 'string' && { exact: true }) }).tap();
  const until = async (at: string, act?: () => Promise<void>): Promise<void> => {
    await act?.();
    await page.locator(`[data-guided][data-guide~="${at}"]`).waitFor({ timeout: 30_000 });
  };
  const openByTab = async (href: string): Promise<void> => {
    const tab = page.locator(`nav a[href="${href}"]`);
    if ((await tab.count()) === 0) await tap('More');
    await tab.tap();
  };
  /** What is to be looked at is brought into sight; once it was there the sentence says where to go on. */
  const look = async (then: string, isInSight = false): Promise<void> => {
    if (!isInSight) await page.getByRole('button', { name: /Show me/ }).tap();
    await guide.getByText(then).waitFor();
  };
  const runOnce = async (readings: number): Promise<void> => {
    await until('hold', () => page.locator('[data-guide="start-run"]').tap());
    await page.locator('[data-guide="hold"]').tap();
    for (let i = 1; i <= readings; i++) {
      await until('pin');
      const degrees = (Math.round((await readMark(page, 4)) * 2) / 2).toFixed(1);
      await until('pad', () => tap('Pin reading'));
      for (const key of degrees) await tap(key === '.' ? 'Point' : key);
      // Nothing of the run lies under another thing or off the screen, the guide's strip included.
      expect(
        await page.evaluate(() => document.documentElement.scrollHeight - innerHeight),
      ).toBeLessThanOrEqual(0);
      await tap('OK');
      await page.getByTestId('count').getByText(`${i} reading`).waitFor();
    }
  };

  await tap('Try it on the practice engine');
  await look('Now open Run');
  await openByTab('#run');
  await until('start-run', () => tap('Start the practice engine'));
  await runOnce(14); // 950 to 4200 rpm by 250
  expect(await page.evaluate(() => (window as unknown as { felt: unknown[] }).felt.map(String))).toEqual(
    expect.arrayContaining(['60,60,140', '40', '40,60,40']), // steady, pinned, stored
  );
  await until('end-run');
  await tap('End run');
  await guide.getByText('Where the advance starts').waitFor();
  await openByTab('#result');
  await look('Now go down');
  // The truth is the engine's own: its housing at 8 degrees, its stop, the balance of weights and springs. A light is read
  // to about a degree (common practice): a mean of such readings is good to 0.7, a corner to a step.
  const found = practiceMechanism('heavy', 'short');
  const truth = (rpm: number): number => 8 + advanceAtSpeed(found, rpm);
  expect(Math.abs(parseFloat(await figureText(page, 'Total')) - truth(4200))).toBeLessThan(0.7);
  const allIn = speedAtAdvance(found, found.stopRangeDeg);
  expect(Math.abs(parseFloat(await figureText(page, 'All-in')) - allIn)).toBeLessThan(250);
  await look('Now open Run and change');
  await openByTab('#run');
  await until('springs');
  await until('stop', () => page.getByRole('radio', { name: /Middle pair/ }).tap());
  await until('housing', () => page.getByRole('radio', { name: /Middle stop/ }).tap());
  for (let i = 0; i < 6; i++) await tap(/^\+1°/);
  await until('start-run');
  await runOnce(5);
  await tap('End run');
  await guide.getByText('Both runs').waitFor();
  await openByTab('#log');
  await look('Now open Jobs', true);
  await openByTab('#jobs');
  await until('save-job');
  const [download] = await Promise.all([page.waitForEvent('download'), tap('Save the job file')]);
  const job = JSON.parse(await readFile(await download.path(), 'utf8')) as Job;
  expect(job.runs.map(({ readings }) => readings.length)).toEqual([14, 5]);
  const offDeg = job.runs[0]!.readings.map(({ rpm, seenDeg }) => seenDeg - truth(rpm));
  expect(Math.max(...offDeg.map(Math.abs))).toBeLessThan(2);
  expect(Math.abs(offDeg.reduce((sum, one) => sum + one, 0) / offDeg.length)).toBeLessThan(0.5);
  expect(job.runs.map(({ setUpId }) => job.setUps.find(({ id }) => id === setUpId)?.springs)).toEqual([
    'Heavy pair',
    'Middle pair',
  ]);
  await guide.getByText('With an engine it goes the same way').waitFor();
  await tap('Leave the guide');
  await guide.waitFor({ state: 'detached' });
  await page.context().close();
}, 240_000);

test('the guide is left and taken up again where it stood, after a reload too', async () => {
  const page = await firstScreen({ viewport: { width: 1280, height: 800 } });
  await page.getByRole('button', { name: 'Try it on the practice engine' }).click();
  const guide = page.getByTestId('guide');
  await guide.getByText('Now open Run').waitFor(); // the target stands in sight
  await page.locator('nav a[href="#run"]').click();
  await guide.getByText('Start the practice engine').waitFor();
  expect(await meant(page)).toBe('start-practice');
  await page.getByRole('button', { name: 'Leave the guide' }).click();
  await guide.waitFor({ state: 'detached' });
  expect(await page.locator('[data-guided]').count()).toBe(0);
  await page.goto(`${inject('pageAddress')}#engine`);
  await page.reload();
  await page.getByRole('button', { name: 'Go on with the practice engine' }).click();
  await page.getByRole('region', { name: 'Guide' }).getByText('2', { exact: false }).first().waitFor();
  await guide.getByText('Start the practice engine').waitFor();
  await page.context().close();
});

test('by the keyboard alone the whole job is done, and what has the focus is always seen', async () => {
  const page = await firstScreen({ viewport: { width: 1280, height: 800 } });
  const press = (key: string): Promise<void> => page.keyboard.press(key);
  /** Goes on by Tab until a control whose words begin so has the focus. */
  const tabTo = async (words: string): Promise<void> => {
    for (let i = 0; i < 120; i++) {
      await press('Tab');
      const at = await page.evaluate(() => {
        const element = document.activeElement as HTMLElement;
        if (element === document.body) return null; // past the last, before the first
        const label = element instanceof HTMLInputElement ? (element.labels?.[0]?.innerText ?? '') : '';
        const shown = element.closest('label') ?? element;
        // a choice's own input is not seen: what is drawn for it stands beside it
        const isUnseen = getComputedStyle(element).opacity === '0';
        const { outlineStyle, outlineWidth } = getComputedStyle(
          isUnseen ? element.nextElementSibling! : element,
        );
        const box = shown.getBoundingClientRect();
        return {
          words: (element.getAttribute('aria-label') ?? (label || element.innerText)).trim(),
          seen: outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2,
          inside: box.bottom > 0 && box.top < innerHeight,
        };
      });
      if (!at) continue;
      expect(at).toEqual({ words: at.words, seen: true, inside: true });
      if (at.words.startsWith(words)) return;
    }
    throw new Error(`no “${words}” by Tab`);
  };
  const enterAt = async (words: string): Promise<void> => {
    await tabTo(words);
    await press('Enter');
  };

  await tabTo('From');
  for (const [field, rpm] of [
    ['From', '1000'],
    ['To', '2500'],
    ['Every', '500'],
  ] as const) {
    if (field !== 'From') await press('Tab');
    expect(
      await page.evaluate(() => (document.activeElement as HTMLInputElement).labels?.[0]?.innerText),
    ).toContain(field);
    await press('Control+a');
    await page.keyboard.type(rpm);
  }
  await enterAt('Run');
  await enterAt('Start the practice engine');
  await page.getByRole('heading', { name: 'On the practice engine’s bench' }).waitFor();
  await enterAt('Start run');
  await page.getByRole('button', { name: 'Pin reading' }).waitFor();
  await enterAt('Hold 1000');
  for (let i = 1; i <= 4; i++) {
    await page.getByTestId('hold').getByText('steady').waitFor({ timeout: 30_000 });
    const degrees = Math.round(await readMark(page, 2));
    await press('Space');
    await page.getByTestId('typed').waitFor();
    await page.keyboard.type(String(degrees));
    await press('Enter');
    await page.getByTestId('count').getByText(`${i} reading`).waitFor();
  }
  await enterAt('End run');
  await page.getByRole('button', { name: 'Start run' }).waitFor();
  await enterAt('Result');
  await page.locator('main[data-view="result"]').waitFor();
  await tabTo('Job file');
  const [download] = await Promise.all([page.waitForEvent('download'), press('Enter')]);
  expect(download.suggestedFilename()).toMatch(/\.json$/);
  await page.context().close();
}, 240_000);
