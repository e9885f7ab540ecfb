/** What can go wrong with what is kept, met on the real page: no room, a store that refuses as the browser is killed, a
 * clock set to and fro, two tabs on one job, a store of an older page and of a newer one; and all jobs to another machine.
 * No reading is lost by any of them. */
import { readFileSync } from 'node:fs';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import type { Job } from '../../core/job';
import { bookOf } from '../../web/store/job-records';
import { launchChromium, launchKept, newProfile, removeProfile } from '../helpers/chromium';
import {
  downloadOf,
  openView,
  pressPastCautions,
  saveByDownload,
  savedJob,
  typeDegrees,
} from '../helpers/page-acts';

/** Several pages at once, on a machine with too much to do. */
const STEP_MS = 60_000;

let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
});
afterAll(() => browser.close());

async function openPage(context: BrowserContext, prepare?: (page: Page) => Promise<unknown>): Promise<Page> {
  const page = await context.newPage();
  page.setDefaultTimeout(STEP_MS);
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
  await typeDegrees(page, deg);
}

const typed = ({ runs }: Job): number[] => runs.flatMap((run) => run.readings.map(({ seenDeg }) => seenDeg));

/** Runs in the page before anything else: the store refuses readings; journals are noted. */
function refuseReadings(): void {
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (this: IDBObjectStore, ...given) {
    if (this.name === 'readings') throw new DOMException('made by the test', 'QuotaExceededError');
    return put.apply(this, given);
  };
  const journals: Worker[] = [];
  Object.assign(window, { journals });
  window.Worker = class extends Worker {
    constructor(url: string | URL, options?: WorkerOptions) {
      super(url, options);
      if (options?.name === 'journal') journals.push(this);
    }
  };
}

/** How many files the journals of this origin have. */
const journalFiles = (page: Page): Promise<number> =>
  page.evaluate(async () => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('journal');
    let count = 0;
    for await (const name of folder.keys()) count += name ? 1 : 0;
    return count;
  });

/** A clock that the test sets: how many milliseconds it is off. */
function clockOfTheTest(): void {
  const Real = Date;
  const offMs = (): number => Number(sessionStorage.getItem('off, ms') ?? 0);
  window.Date = class extends Real {
    constructor(...given: [] | [number | string]) {
      super(...((given.length === 0 ? [Real.now() + offMs()] : given) as [number]));
    }
    static override now = (): number => Real.now() + offMs();
  } as DateConstructor;
}

const DAY_MS = 24 * 3600 * 1000;
const setClock = (page: Page, offMs: number): Promise<void> =>
  page.evaluate((ms) => sessionStorage.setItem('off, ms', String(ms)), offMs);

const OLD_JOB = JSON.parse(
  readFileSync(new URL('../helpers/old-jobs/version-1.json', import.meta.url), 'utf8'),
) as Job;

/** Makes the store as the page's first version did, or with a version of its own. Runs beside the page, not in it. */
async function makeStore(context: BrowserContext, version: number): Promise<void> {
  const page = await context.newPage();
  await page.goto(`${inject('pageAddress')}manifest.webmanifest`);
  const { job, runs, readings } = bookOf(OLD_JOB, '2026-03-11T19:00:00Z', 1);
  const records = { jobs: [job], runs, readings: [...readings.values()].flat() };
  await page.evaluate(
    ([filled, to]) =>
      new Promise<void>((resolve, reject) => {
        const asked = indexedDB.open('clampline', to);
        asked.onupgradeneeded = () => {
          const db = asked.result;
          db.createObjectStore('jobs', { keyPath: 'id' });
          db.createObjectStore('runs', { keyPath: 'id' }).createIndex('jobId', 'jobId');
          db.createObjectStore('readings', { keyPath: 'id' }).createIndex('runId', 'runId');
          db.createObjectStore('undo', { keyPath: ['jobId', 'order'] });
          db.createObjectStore('trace', { autoIncrement: true }).createIndex('runId', 'runId');
          db.createObjectStore('sound', { autoIncrement: true }).createIndex('runId', 'runId');
          for (const [name, list] of Object.entries(filled))
            for (const record of list) asked.transaction!.objectStore(name).put(record);
        };
        asked.onsuccess = () => resolve(asked.result.close());
        asked.onerror = () => reject(asked.error!);
      }),
    [records, version] as const,
  );
  await page.close();
}

describe.concurrent('what is kept', () => {
  test('readings that the store refused come back after a kill: they were written ahead, by a second journal once the first had died', async () => {
    const profile = newProfile();
    let chromium = await launchKept(profile, { input: null });
    try {
      const page = await openPage(chromium.context, (each) => each.addInitScript(refuseReadings));
      await startRun(page);
      await keyReading(page, 900, 12.5);
      await page.evaluate(() => (window as unknown as { journals: Worker[] }).journals[0]!.terminate());
      await keyReading(page, 1500, 18);
      await page.getByText(/^There is no room left on this machine to keep more/).waitFor();
      while ((await journalFiles(page)) < 2) await page.waitForTimeout(100);
      await keyReading(page, 2100, 24);
      await page.waitForTimeout(200); // on a busy machine the journal's thread may come to it after the kill otherwise
      await chromium.kill();
      chromium = await launchKept(profile, { input: null });
      const again = await openPage(chromium.context);
      await again.getByText(/Run of .* was still open; it goes on\./).waitFor();
      expect(typed(await savedJob(again))).toEqual([12.5, 18, 24]);
    } finally {
      await chromium.context.close().catch(() => undefined);
      removeProfile(profile);
    }
  });

  test('a disk without room is said, readings go on, and all are kept once there is room again', async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    // From the start: the browser looks at the room only now and then.
    const devTools = await context.newCDPSession(page);
    const { origin } = new URL(inject('pageAddress'));
    await devTools.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 1 });
    await saveByDownload(page);
    await page.goto(inject('pageAddress'));
    await page.getByText(/^There is no room left on this machine to keep more/).waitFor();
    await startRun(page);
    await keyReading(page, 900, 12.5);
    await keyReading(page, 1500, 18);
    await keyReading(page, 2100, 24);
    expect(await page.getByTestId('count').innerText()).toContain('3 readings');
    await devTools.send('Storage.overrideQuotaForOrigin', { origin });
    await page.getByText(/^There is no room left/).waitFor({ state: 'detached' });
    await page.reload();
    expect(typed(await savedJob(page))).toEqual([12.5, 18, 24]);
    await context.close();
  });

  test('a clock set back by a day in mid-run, and then on by two, mixes up no reading and loses none', async () => {
    const context = await browser.newContext();
    const page = await openPage(context, (each) => each.addInitScript(clockOfTheTest));
    await startRun(page);
    await keyReading(page, 900, 12.5);
    await setClock(page, -DAY_MS);
    await keyReading(page, 1500, 18);
    await page.reload();
    await page.getByText(/Run of .* was still open; it goes on\./).waitFor();
    await openView(page, 'run');
    await setClock(page, DAY_MS);
    await keyReading(page, 2100, 24);
    const job = await savedJob(page);
    expect(typed(job)).toEqual([12.5, 18, 24]);
    const [first, second, third] = job.runs[0]!.readings.map(({ at }) => Date.parse(at));
    expect(second! - first!).toBeLessThan(-0.95 * DAY_MS); // the clock did go back
    expect(third! - second!).toBeGreaterThan(1.95 * DAY_MS);
    await context.close();
  });

  test('of two tabs on one job one writes and the other says so; it can take over and loses nothing', async () => {
    const context = await browser.newContext();
    const first = await openPage(context);
    await startRun(first);
    await keyReading(first, 900, 12.5);
    const second = await openPage(context);
    const locked = (page: Page) =>
      page.getByText('This job is open in another tab; here it can only be looked at.');
    await locked(second).waitFor();
    await second.getByRole('button', { name: 'Use it here' }).click();
    await locked(second).waitFor({ state: 'detached' });
    await locked(first).waitFor();
    await openView(second, 'run');
    await keyReading(second, 1500, 18);
    expect(typed(await savedJob(second))).toEqual([12.5, 18]);
    await context.close();
  });

  test('what a page of the first version kept is there in this one, all of it; what a newer one kept is left alone and that is said', async () => {
    const old = await browser.newContext();
    await makeStore(old, 1);
    const page = await openPage(old);
    const { version, ...rest } = OLD_JOB;
    const job = await savedJob(page);
    expect(job.version).toBeGreaterThan(version);
    expect(job).toMatchObject({ ...rest, runs: rest.runs.map((run) => ({ ...run, trace: null })) });
    await old.close();

    const newer = await browser.newContext();
    await makeStore(newer, 99);
    const told = (await openPage(newer)).getByText(
      'What is kept here was written by a newer version of this page; load the page anew to use it.',
    );
    await told.waitFor();
    await newer.close();
  });

  test('all jobs go to one file and from it to another machine, the same to the last sign; half a file changes nothing', async () => {
    const [here, there] = [await browser.newContext(), await browser.newContext()];
    const page = await openPage(here);
    await openView(page, 'jobs');
    await page.getByRole('textbox', { name: 'New job' }).fill('Bench engine');
    await page.getByRole('button', { name: 'Begin' }).click();
    await page.getByRole('button', { name: 'Open New job', exact: true }).waitFor();
    await startRun(page);
    await keyReading(page, 900, 12.5);
    await keyReading(page, 1500, 18);
    await page.getByRole('button', { name: 'End run' }).click();
    const before = await savedJob(page);
    const backup = await downloadOf(page, page.getByRole('button', { name: 'Save all jobs' }));
    await page.getByText('2 jobs saved in one file.').waitFor();

    const other = await openPage(there);
    await openView(other, 'jobs');
    const bringBack = async (buffer: Buffer): Promise<void> => {
      const chooser = other.waitForEvent('filechooser');
      await other.getByText('Bring back', { exact: true }).click();
      await (await chooser).setFiles({ name: 'all.json', mimeType: 'application/json', buffer });
    };
    await bringBack(backup.subarray(0, backup.length / 2));
    await other
      .getByText(/^all\.json is cut short: the end of the backup is missing\. Nothing was changed\./)
      .waitFor();
    expect(await other.getByRole('button', { name: 'Open Bench engine' }).count()).toBe(0);
    await bringBack(backup);
    await other.getByText(/^2 jobs brought back\./).waitFor();
    await other.getByRole('button', { name: 'Open Bench engine' }).click();
    await other.getByRole('button', { name: 'Open Bench engine' }).waitFor({ state: 'detached' });
    expect(await savedJob(other)).toEqual(before);
    await Promise.all([here.close(), there.close()]);
  });
});
