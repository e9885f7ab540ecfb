/** A browser that finds its store damaged throws all of it away and says nothing: jobs, readings and traces come back from
 * the page's own copies. The damage is made in the files of the profile, after a kill in the middle of a run. */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, expect, inject, test } from 'vitest';
import type { Job } from '../../core/job';
import { launchKept, newProfile, removeProfile, type KeptChromium } from '../helpers/chromium';
import { keyReading, openView, pressPastCautions, saveByDownload, savedJob } from '../helpers/page-acts';

const profile = newProfile();
let chromium: KeptChromium;
afterAll(async () => {
  await chromium?.context.close().catch(() => undefined);
  removeProfile(profile);
});

async function open(): Promise<Page> {
  chromium = await launchKept(profile, { input: null });
  const page = await chromium.context.newPage();
  await saveByDownload(page);
  await page.goto(inject('pageAddress'));
  return page;
}

async function startPractice(page: Page): Promise<void> {
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Practice engine/ }).check();
  await pressPastCautions(page, page.getByRole('button', { name: 'Start the practice engine' }));
}

async function startRun(page: Page): Promise<void> {
  await openView(page, 'run');
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
}

const degreesOf = ({ runs }: Job): number[] => runs.flatMap(({ readings }) => readings.map((r) => r.seenDeg));
const traceEndS = ({ runs }: Job): number => runs.at(-1)?.trace?.timeS.at(-1) ?? 0;

/** The last rows are told anew by what comes after them. */
function settledRpm(job: Job): readonly (number | null)[] {
  const { timeS, rpm } = job.runs.at(-1)!.trace!;
  return rpm.filter((_, row) => timeS[row]! < timeS.at(-1)! - 2);
}

/** As a write that was cut off leaves it: what is read back does not fit its own sum. */
function damageStore(): void {
  const folder = join(profile, 'Default', 'IndexedDB');
  const store = readdirSync(folder).find((name) => name.endsWith('.leveldb'))!;
  const files = readdirSync(join(folder, store)).filter((name) => /\.(log|ldb)$/.test(name));
  expect(files.length).toBeGreaterThan(0);
  for (const name of files) {
    const path = join(folder, store, name);
    const bytes = readFileSync(path);
    for (let at = 10; at < bytes.length; at += 100) bytes[at]! ^= 0xff;
    writeFileSync(path, bytes);
  }
}

test('what the browser threw away is put back from the copies: jobs, the run under way, its trace', async () => {
  let page = await open();
  await startPractice(page);
  await startRun(page);
  await keyReading(page, 9.5);
  await page.getByRole('button', { name: 'End run' }).click();
  await openView(page, 'jobs');
  await page.getByRole('textbox', { name: 'New job' }).fill('The other engine');
  await page.getByRole('textbox', { name: 'New job' }).press('Enter');
  await startRun(page);
  for (const deg of [12.5, 18, 24.5]) await keyReading(page, deg);
  await page.waitForTimeout(4000);
  const before = await savedJob(page);
  await chromium.kill();
  damageStore();

  page = await open();
  await page.getByText('The browser had lost its store: 2 jobs came back from their copies').waitFor();
  await page.getByRole('button', { name: 'Go on' }).click();
  await page.getByText(/Run of .* was still open; it goes on\./).waitFor();
  const after = await savedJob(page);
  expect(after.name).toBe('The other engine');
  expect(degreesOf(after)).toEqual([12.5, 18, 24.5]);
  expect(after.runs.at(-1)!.readings).toEqual(before.runs.at(-1)!.readings);
  expect(traceEndS(after)).toBeGreaterThanOrEqual(traceEndS(before)); // it went on until the kill
  const settled = settledRpm(before);
  expect(settled.length).toBeGreaterThan(5);
  expect(settledRpm(after).slice(0, settled.length)).toEqual(settled);

  await page.getByRole('button', { name: 'Open New job' }).click();
  expect(degreesOf(await savedJob(page))).toEqual([9.5]);

  // What was taken out by hand is no loss: it stays out.
  await page.getByRole('button', { name: 'Remove The other engine' }).click();
  await page.getByRole('button', { name: 'Remove the job' }).click();
  await page.getByText('The other engine').first().waitFor({ state: 'detached' });
  await page.reload();
  await page.getByRole('button', { name: 'Remove New job' }).waitFor();
  expect(await page.getByText('The other engine').count()).toBe(0);
}, 180_000);
