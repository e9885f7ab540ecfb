/** What can go wrong with what is kept, met on the real page: no room, a store that refuses as the browser is killed, a
 * clock set back, two tabs on one job. No reading is lost by any of them. */
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, expect, inject, test } from 'vitest';
import type { Job } from '../../core/job';
import { launchKept, newProfile, removeProfile, type KeptChromium } from '../helpers/chromium';
import { downloadOf, openView, pressPastCautions, saveByDownload } from '../helpers/page-acts';

let profile: string;
let chromium: KeptChromium;

beforeEach(async () => {
  profile = newProfile();
  chromium = await launchKept(profile, { input: null });
});
afterEach(async () => {
  await chromium.context.close().catch(() => undefined);
  removeProfile(profile);
});

async function openPage(prepare?: (page: Page) => Promise<unknown>): Promise<Page> {
  const page = await chromium.context.newPage();
  await saveByDownload(page);
  await prepare?.(page);
  await page.goto(inject('pageAddress'));
  return page;
}

/** A run without sound: speeds are typed. */
async function startRun(page: Page): Promise<void> {
  await openView(page, 'run');
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.getByRole('button', { name: 'End run' }).waitFor();
}

async function keyReading(page: Page, rpm: number, deg: number): Promise<void> {
  await page.getByRole('button', { name: 'Type a speed' }).click();
  await page.getByRole('region', { name: 'Speed typed by hand' }).waitFor();
  await page.keyboard.type(String(rpm));
  await page.keyboard.press('Enter');
  const pad = page.getByRole('region', { name: 'Degrees of the pinned reading' });
  await pad.waitFor();
  await page.keyboard.type(String(deg));
  await page.keyboard.press('Enter');
  await pad.waitFor({ state: 'hidden' });
}

async function savedJob(page: Page): Promise<Job> {
  await openView(page, 'jobs');
  const file = await downloadOf(page, page.getByRole('button', { name: 'Save the job file' }));
  return JSON.parse(file.toString()) as Job;
}
const typed = ({ runs }: Job): number[] => runs.flatMap((run) => run.readings.map(({ seenDeg }) => seenDeg));

test('readings that the store refused come back after a kill: they were written ahead', async () => {
  const page = await openPage((each) =>
    each.addInitScript(() => {
      const put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (this: IDBObjectStore, ...given) {
        if (this.name === 'readings') throw new DOMException('made by the test', 'QuotaExceededError');
        return put.apply(this, given);
      };
    }),
  );
  await startRun(page);
  await keyReading(page, 900, 12.5);
  await keyReading(page, 1500, 18);
  await page.getByText(/^There is no room left on this device to keep more/).waitFor();
  await chromium.kill();
  chromium = await launchKept(profile, { input: null });
  const again = await openPage();
  await again.getByText(/Run of .* was still open; it goes on\./).waitFor();
  expect(typed(await savedJob(again))).toEqual([12.5, 18]);
});

test('a disk without room is said, readings go on, and all are kept once there is room again', async () => {
  // From the start: the browser looks at the room only now and then.
  const page = await chromium.context.newPage();
  const devTools = await page.context().newCDPSession(page);
  const { origin } = new URL(inject('pageAddress'));
  await devTools.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 1 });
  await saveByDownload(page);
  await page.goto(inject('pageAddress'));
  await page.getByText(/^There is no room left on this device to keep more/).waitFor();
  await startRun(page);
  await keyReading(page, 900, 12.5);
  await keyReading(page, 1500, 18);
  await keyReading(page, 2100, 24);
  expect(await page.getByTestId('count').innerText()).toContain('3 readings');
  await devTools.send('Storage.overrideQuotaForOrigin', { origin });
  await page.getByText(/^There is no room left/).waitFor({ state: 'detached' });
  await page.reload();
  expect(typed(await savedJob(page))).toEqual([12.5, 18, 24]);
});

test('a clock set back by a day in mid-run mixes up no reading and loses none', async () => {
  const page = await openPage((each) =>
    each.addInitScript(() => {
      const Real = Date;
      const backMs = (): number => Number(sessionStorage.getItem('set back, ms') ?? 0);
      window.Date = class extends Real {
        constructor(...given: [] | [number | string]) {
          super(...((given.length === 0 ? [Real.now() - backMs()] : given) as [number]));
        }
        static override now = (): number => Real.now() - backMs();
      } as DateConstructor;
    }),
  );
  await startRun(page);
  await keyReading(page, 900, 12.5);
  await page.evaluate(() => sessionStorage.setItem('set back, ms', String(24 * 3600 * 1000)));
  await keyReading(page, 1500, 18);
  await page.reload();
  await page.getByText(/Run of .* was still open; it goes on\./).waitFor();
  await openView(page, 'run');
  await keyReading(page, 2100, 24);
  const job = await savedJob(page);
  expect(typed(job)).toEqual([12.5, 18, 24]);
  const [before, after] = job.runs[0]!.readings.map(({ at }) => Date.parse(at));
  expect(after! - before!).toBeLessThan(-23 * 3600 * 1000); // the clock did go back
});

test('of two tabs on one job one writes and the other says so; it can take over and loses nothing', async () => {
  const first = await openPage();
  await startRun(first);
  await keyReading(first, 900, 12.5);
  const second = await openPage();
  const locked = (page: Page) =>
    page.getByText('This job is open in another tab; here it can only be looked at.');
  await locked(second).waitFor();
  await second.getByRole('button', { name: 'Use it here' }).click();
  await locked(second).waitFor({ state: 'detached' });
  await locked(first).waitFor();
  await openView(second, 'run');
  await keyReading(second, 1500, 18);
  expect(typed(await savedJob(second))).toEqual([12.5, 18]);
});
