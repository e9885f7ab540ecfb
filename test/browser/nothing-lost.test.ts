/** The browser killed in mid-run, again and again, and opened again: every reading is there, and all but the last second
 * of the trace. The practice engine is the source; everything goes through the page's own controls. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { createRandom } from '../../dsp/maker/random';
import { launchKept, newProfile, removeProfile, type KeptChromium } from '../helpers/chromium';
import { downloadOf, openView, pressPastCautions, saveByDownload, typeDegrees } from '../helpers/page-acts';

const random = createRandom(20261014, 1);
const KILLS = 4;
const READINGS_EACH = 4;

/** What was seen from outside just before the browser died. */
interface Death {
  readonly readings: number;
  /** The trace's time at the last pin, and the wall clock's seconds from there to the kill. */
  readonly sincePinS: number;
}

/** What came back. */
interface Found {
  readonly readings: readonly Row[];
  readonly trace: readonly Row[];
}
type Row = Readonly<Record<string, string>>;

const profile = newProfile();
const typedDeg: number[] = [];
const deaths: Death[] = [];
const found: Found[] = [];
let chromium: KeptChromium;
let page: Page;

/** Rows by plain splitting: the product's own reader is not asked. No cell of these has a comma in it. */
function rowsOf(csv: Buffer): Row[] {
  const [header, ...lines] = csv.toString().trim().split('\r\n');
  const names = header!.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    return Object.fromEntries(names.map((name, i) => [name, cells[i]!]));
  });
}

async function open(): Promise<void> {
  chromium = await launchKept(profile, { input: null });
  page = await chromium.context.newPage();
  await saveByDownload(page);
  await page.goto(inject('pageAddress'));
}

async function startPractice(): Promise<void> {
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Practice engine/ }).check();
  await pressPastCautions(page, page.getByRole('button', { name: 'Start the practice engine' }));
  await page.getByRole('button', { name: 'Stop the practice engine' }).waitFor();
  await openView(page, 'run');
}

/** Pins by the space bar once there is a speed, and types the degrees. @returns when the key went down, ms */
async function keyReading(): Promise<number> {
  await page.getByTestId('speed').filter({ hasText: 'rpm' }).waitFor();
  const deg = Math.round(random.between(50, 400)) / 10;
  const pinnedMs = performance.now();
  await page.keyboard.press(' ');
  await typeDegrees(page, deg);
  typedDeg.push(deg);
  return pinnedMs;
}

async function readThenKill(): Promise<void> {
  let pinnedMs = 0;
  for (let i = 0; i < READINGS_EACH; i++) pinnedMs = await keyReading();
  expect(await page.getByTestId('count').innerText()).toContain(`${typedDeg.length} readings`);
  await page.waitForTimeout(random.between(0, 2500));
  const killedMs = performance.now();
  await chromium.kill();
  deaths.push({ readings: typedDeg.length, sincePinS: (killedMs - pinnedMs) / 1000 });
}

async function whatIsFound(): Promise<Found> {
  await openView(page, 'result');
  const readings = await downloadOf(page, page.getByRole('button', { name: 'Readings, CSV' }));
  const trace = await downloadOf(page, page.getByRole('button', { name: 'Trace, CSV' }));
  return { readings: rowsOf(readings), trace: rowsOf(trace) };
}

beforeAll(async () => {
  await open();
  await startPractice();
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.getByRole('button', { name: 'End run' }).waitFor();
});
afterAll(async () => {
  await chromium?.context.close().catch(() => undefined);
  removeProfile(profile);
});

test('a run that was open when the browser was killed is said to go on, each time', async () => {
  for (let kill = 0; kill < KILLS; kill++) {
    await readThenKill();
    await open();
    await page.getByText(/Run of .* was still open; it goes on\./).waitFor();
    found.push(await whatIsFound());
    if (kill < KILLS - 1) await startPractice();
  }
}, 240_000);

test('every reading is there with the degrees typed, in order', () => {
  expect(found).toHaveLength(KILLS);
  found.forEach(({ readings }, i) => {
    expect(readings.map((row) => Number(row['seen_deg']))).toEqual(typedDeg.slice(0, deaths[i]!.readings));
    for (const row of readings) expect(Number(row['rpm'])).toBeGreaterThan(300);
  });
});

test('what was found after one kill is found unchanged after the next', () => {
  for (let i = 1; i < found.length; i++) {
    const before = found[i - 1]!;
    expect(found[i]!.readings.slice(0, before.readings.length)).toEqual(before.readings);
    expect(found[i]!.trace.slice(0, before.trace.length)).toEqual(before.trace);
  }
});

test('all but the last second of the trace is there, and its time goes on through every kill', () => {
  const lostS = found.map(({ readings, trace }, i) => {
    const diedAtS = Number(readings.at(-1)!['time_s']) + deaths[i]!.sincePinS;
    return diedAtS - Number(trace.at(-1)!['time_s']);
  });
  console.log('seconds of trace lost at each kill:', lostS.map((s) => s.toFixed(2)).join(', '));
  for (const s of lostS) expect(s).toBeLessThan(1);
  const timesS = found.at(-1)!.trace.map((row) => Number(row['time_s']));
  for (let i = 1; i < timesS.length; i++) expect(timesS[i]!).toBeGreaterThan(timesS[i - 1]!);
});

test('the run can be ended after all, and is then over on the next page', async () => {
  await page.getByRole('button', { name: 'End the run' }).first().click();
  await page.reload();
  await openView(page, 'run');
  await page.getByRole('button', { name: 'Start run' }).waitFor();
  expect(await page.getByText('was still open').count()).toBe(0);
});
