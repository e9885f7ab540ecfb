/** The analysis thread dies in mid-run: the page says so, starts it again, keeps the trace so far and shows the gap. */
import type { Browser, Page } from 'playwright-core';
import { afterEach, beforeEach, expect, inject, test } from 'vitest';
import { launchChromium } from '../helpers/chromium';
import { downloadOf, openView, pressPastCautions, saveByDownload } from '../helpers/page-acts';

let browser: Browser;
let page: Page;

beforeEach(async () => {
  browser = await launchChromium({ input: null });
  page = await browser.newPage();
  await saveByDownload(page);
  await page.addInitScript(() => {
    const workers: Worker[] = [];
    Object.assign(window, { workers });
    window.Worker = class extends Worker {
      constructor(url: string | URL, options?: WorkerOptions) {
        super(url, options);
        if (options?.name === 'analysis') workers.push(this);
      }
    };
  });
  await page.goto(inject('pageAddress'));
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Practice engine/ }).check();
  await page.getByRole('button', { name: 'Start the practice engine' }).click();
  await page.getByText('Following', { exact: true }).waitFor();
  await openView(page, 'run');
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.waitForTimeout(3000);
});
afterEach(() => browser.close());

const workerCount = (): Promise<number> =>
  page.evaluate(() => (window as unknown as { workers: Worker[] }).workers.length);

interface Row {
  readonly timeS: number;
  readonly rpm: number | null;
}

async function traceOfRun(): Promise<Row[]> {
  await openView(page, 'run');
  await page.getByRole('button', { name: 'End run' }).click();
  await openView(page, 'jobs');
  const csv = (await downloadOf(page, page.getByRole('button', { name: /^Trace, CSV/ }))).toString();
  return csv
    .trim()
    .split('\r\n')
    .slice(1)
    .map((line) => line.split(','))
    .map(([timeS, rpm]) => ({ timeS: Number(timeS), rpm: rpm === '' ? null : Number(rpm) }));
}

/** Rows on both sides of one gap, times that rise all through. */
function expectOneGap(rows: readonly Row[]): void {
  const gapAt = rows.findIndex(({ rpm }, i) => i > 5 && rpm === null);
  expect(gapAt).toBeGreaterThan(5);
  expect(rows.slice(gapAt).filter(({ rpm }) => rpm !== null).length).toBeGreaterThan(5);
  rows.slice(1).forEach(({ timeS }, i) => expect(timeS).toBeGreaterThanOrEqual(rows[i]!.timeS));
  const before = rows.slice(0, gapAt);
  const after = rows.slice(gapAt).find(({ rpm }) => rpm !== null)!;
  expect(after.timeS - before.at(-1)!.timeS).toBeGreaterThanOrEqual(1);
}

test('a worker that throws is started again, and the run has its trace from both sides of the gap', async () => {
  await page.evaluate(() =>
    (window as unknown as { workers: Worker[] }).workers[0]!.dispatchEvent(
      new ErrorEvent('error', { message: 'made by the test' }),
    ),
  );
  await page
    .getByText(/^The listening part of the page stopped \(made by the test\) and was started again\./)
    .waitFor();
  expect(await workerCount()).toBe(2);
  await page.waitForTimeout(4000);
  expectOneGap(await traceOfRun());
});

test('a worker that dies without a word is missed and started again', async () => {
  await page.evaluate(() => (window as unknown as { workers: Worker[] }).workers[0]!.terminate());
  await page
    .getByText(/^The listening part of the page stopped \(it no longer answers\)/)
    .waitFor({ timeout: 20_000 });
  expect(await workerCount()).toBe(2);
  await page.waitForTimeout(4000);
  expectOneGap(await traceOfRun());
});
