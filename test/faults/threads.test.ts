/** A thread of the page dies in mid-run: the page says so, starts it again, keeps the trace so far and
 * shows the gap; the run goes on. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import { PLAIN_SCENARIO } from '../../core/scenario/scenario';
import { launchChromium } from '../helpers/chromium';
import { noteThreads, type Threads } from '../helpers/dying-threads';
import { makeRecording } from '../helpers/made-recording';
import { downloadOf, listenTo, openView, pressPastCautions, saveByDownload } from '../helpers/page-acts';

/** Several pages at once, on a machine with too much to do. */
const STEP_MS = 60_000;

// 44.1 kHz is the only rate that the made device has; it plays from the beginning each time it is opened.
const recording = makeRecording({ ...PLAIN_SCENARIO, sampleRateHz: 44_100, seconds: 60, seed: 11 }, 1);
let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium({ input: recording.path });
});
afterAll(async () => {
  await browser.close();
  recording.remove();
});

async function open(): Promise<Page> {
  // The page's policy would refuse the test's own module for the audio thread.
  const context = await browser.newContext({ permissions: ['microphone'], bypassCSP: true });
  const page = await context.newPage();
  page.setDefaultTimeout(STEP_MS);
  await saveByDownload(page);
  await noteThreads(page);
  await page.goto(inject('pageAddress'));
  return page;
}

async function startRun(page: Page): Promise<void> {
  await openView(page, 'run');
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.getByTestId('speed').filter({ hasText: 'rpm' }).waitFor();
  await openView(page, 'jobs');
  while ((await traceOf(page)).length < 10) await page.waitForTimeout(200);
}

async function practising(): Promise<Page> {
  const page = await open();
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Practice engine/ }).check();
  await page.getByRole('button', { name: 'Start the practice engine' }).click();
  await startRun(page);
  return page;
}

interface Row {
  readonly timeS: number;
  readonly rpm: number | null;
}

async function traceOf(page: Page): Promise<Row[]> {
  const csv = (await downloadOf(page, page.getByRole('button', { name: /^Trace, CSV/ }))).toString();
  return csv
    .trim()
    .split('\r\n')
    .slice(1)
    .map((line) => line.split(','))
    .map(([timeS, rpm]) => ({ timeS: Number(timeS), rpm: rpm === '' ? null : Number(rpm) }));
}

/** Provokes the end of a thread, and waits for the next one. How long that takes: `npm run bench -- crash`. */
async function restarted(page: Page, act: (threads: Threads) => void): Promise<void> {
  const made = await page.evaluate(
    `(() => { const { threads } = window, before = threads.madeMs.length; (${String(act)})(threads); return before; })()`,
  );
  await page.waitForFunction((before) => window.threads.madeMs.length > before, made as number);
}

const stopped = (why: string): string =>
  `The listening part of the page stopped (${why}) and was started again. What was heard is kept; the trace shows the gap.`;

/** The page says what happened, the run is still on, and its trace has speeds on both sides of one gap. */
async function goesOn(page: Page, why: string): Promise<void> {
  await page.getByText(stopped(why), { exact: true }).waitFor();
  const speedsBehind = (rows: readonly Row[], at: number): number =>
    rows.slice(at).filter(({ rpm }) => rpm !== null).length;
  let rows: Row[] = [];
  let gapAt = -1;
  while (gapAt < 0 || speedsBehind(rows, gapAt) <= 5) {
    await page.waitForTimeout(200);
    rows = await traceOf(page);
    gapAt = rows.findIndex(({ rpm }, i) => i > 5 && rpm === null);
  }
  expect(rows.slice(0, gapAt).every(({ rpm }) => rpm !== null)).toBe(true);
  rows.slice(1).forEach(({ timeS }, i) => expect(timeS).toBeGreaterThanOrEqual(rows[i]!.timeS));
  const after = rows.slice(gapAt).find(({ rpm }) => rpm !== null)!;
  expect(after.timeS - rows[gapAt - 1]!.timeS).toBeGreaterThanOrEqual(1);
  await openView(page, 'run');
  expect(await page.getByRole('button', { name: 'End run' }).count()).toBe(1);
  await page.context().close();
}

describe.concurrent('in a run', () => {
  test('an analysis thread that throws is started again', async () => {
    const page = await practising();
    await restarted(page, ({ workers }) =>
      workers[0]!.dispatchEvent(new ErrorEvent('error', { message: 'made by the test' })),
    );
    await goesOn(page, 'made by the test');
  });

  test('one that dies without a word is missed and started again', async () => {
    const page = await practising();
    await restarted(page, ({ workers }) => workers[0]!.terminate());
    await goesOn(page, 'its thread ended');
  });

  test('one that lives and does not answer is given up and started again', async () => {
    const page = await practising();
    await restarted(page, ({ workers }) => (workers[0]!.postMessage = () => undefined));
    await goesOn(page, 'it no longer answers');
  });

  test('an audio thread that throws is started again with the device', async () => {
    const page = await open();
    await listenTo(page, null);
    await startRun(page);
    await restarted(page, ({ nodes }) => nodes[0]!.port.postMessage({ throw: true }));
    await goesOn(page, 'the audio thread');
  });
});
