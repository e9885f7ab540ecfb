/** What leaves the page as files, and comes back: a run on the practice engine with readings and sound, saved through the
 * page's own buttons and read back by other means than the product's own. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import Ajv from 'ajv/dist/2020';
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import wavefile from 'wavefile';
import type { Job } from '../../core/job';
import { launchChromium } from '../helpers/chromium';
import { downloadOf, keyReading, openView, pressPastCautions, saveByDownload } from '../helpers/page-acts';
import { ROOT } from '../helpers/page-server';

const TYPED_DEG = [10.5, 12, 14.5, -3, 22];

let browser: Browser;
let page: Page;
let savedText = '';
let saved: Job;
let traceRows: string[][] = [];

/** Cells by plain splitting: the product's own reader is not asked. No cell of these has a comma in it. */
const cellsOf = (csv: Buffer): string[][] =>
  csv
    .toString()
    .trim()
    .split('\r\n')
    .map((line) => line.split(','));
const button = (name: string): Locator => page.getByRole('button', { name, exact: true });

async function openJobFile(name: string, text: string): Promise<void> {
  await openView(page, 'jobs');
  const chooser = page.waitForEvent('filechooser');
  await page.getByText('Open a job file').click();
  await (await chooser).setFiles({ name, mimeType: 'application/json', buffer: Buffer.from(text) });
}

beforeAll(async () => {
  browser = await launchChromium({ input: null });
  page = await browser.newPage();
  await saveByDownload(page);
  await page.goto(inject('pageAddress'));
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Practice engine/ }).check();
  await pressPastCautions(page, button('Start the practice engine'));
  await button('Stop the practice engine').waitFor();
  await openView(page, 'run');
  await page.getByRole('checkbox', { name: 'Keep the sound' }).check();
  await pressPastCautions(page, button('Start run'));
  await button('End run').waitFor();
  for (const deg of TYPED_DEG) await keyReading(page, deg);
  await page.waitForTimeout(3000); // a trace worth the name
  await button('End run').click();
  await button('Start run').waitFor();
  await openView(page, 'result');
});
afterAll(() => browser?.close());

test('the job file holds to the published schema, with the degrees typed and the whole trace', async () => {
  savedText = (await downloadOf(page, button('Job file'))).toString();
  saved = JSON.parse(savedText) as Job;
  const schema: object = JSON.parse(
    await readFile(join(ROOT, 'core/files/clampline-job.schema.json'), 'utf8'),
  );
  const check = new Ajv({ strict: false }).compile(schema);
  expect(check(saved), JSON.stringify(check.errors)).toBe(true);
  expect(saved.runs).toHaveLength(1);
  expect(saved.runs[0]!.source).toBe('practice engine');
  expect(saved.runs[0]!.readings.map(({ seenDeg }) => seenDeg)).toEqual(TYPED_DEG);
  expect(saved.runs[0]!.trace!.timeS.length).toBeGreaterThan(10);
});

test('the readings as CSV are those of the job file', async () => {
  const [header, ...rows] = cellsOf(await downloadOf(page, button('Readings, CSV')));
  const column = (name: string): string[] => rows.map((cells) => cells[header!.indexOf(name)]!);
  const { readings } = saved.runs[0]!;
  expect(column('advance_deg').map(Number)).toEqual(TYPED_DEG); // nothing is corrected in a new job
  expect(column('rpm')).toEqual(readings.map(({ rpm }) => String(rpm)));
  expect(column('rpm_sd')).toEqual(readings.map(({ rpmSd }) => String(rpmSd ?? '')));
  expect(column('time_s')).toEqual(readings.map(({ timeS }) => String(timeS ?? '')));
});

test('the trace as CSV is that of the job file, rounded as it says', async () => {
  const [header, ...rows] = cellsOf(await downloadOf(page, button('Trace, CSV')));
  traceRows = rows;
  expect(header).toEqual(['time_s', 'rpm', 'rpm_sd', 'state']);
  const trace = saved.runs[0]!.trace!;
  expect(rows.map(([timeS]) => timeS)).toEqual(trace.timeS.map((timeS) => timeS.toFixed(9)));
  expect(rows.map(([, rpm]) => rpm)).toEqual(trace.rpm.map((rpm) => rpm?.toFixed(3) ?? ''));
});

test('the sound kept is a WAV of the run’s length, with strikes in it where the trace has them', async () => {
  const wav = new wavefile.WaveFile(await downloadOf(page, button('Sound, WAV')));
  const { sampleRate, numChannels, bitsPerSample } = wav.fmt as Record<string, number>;
  expect([numChannels, bitsPerSample]).toEqual([1, 24]);
  const samples = wav.getSamples(false) as unknown as Float64Array;
  const lastS = Number(traceRows.at(-1)![0]);
  expect(samples.length / sampleRate!).toBeGreaterThan(lastS);
  expect(samples.length / sampleRate!).toBeLessThan(lastS + 2);
  const loudness = (fromS: number, toS: number): number =>
    samples
      .slice(Math.round(fromS * sampleRate!), Math.round(toS * sampleRate!))
      .reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  // At a strike it is loud; half-way between two strikes of one plug the other leads are heard at most.
  const timesS = traceRows
    .filter(([, rpm]) => rpm !== '')
    .map(([timeS]) => Number(timeS))
    .slice(2, -1);
  const atStrikes = timesS.map((timeS) => loudness(timeS - 0.001, timeS + 0.001));
  const quietest = Math.min(...atStrikes);
  const whole = loudness(timesS[0]! - 0.01, timesS.at(-1)! + 0.01);
  expect(quietest).toBeGreaterThan(0.4 * whole);
});

test('the plot as SVG is well-formed and has a mark for each reading', async () => {
  const svg = (await downloadOf(page, button('Plot, SVG'))).toString();
  const seen = await page.evaluate((text) => {
    const { documentElement: root } = new DOMParser().parseFromString(text, 'image/svg+xml');
    return { name: root.nodeName, readings: root.querySelectorAll('.reading').length };
  }, svg);
  expect(seen).toEqual({ name: 'svg', readings: TYPED_DEG.length });
});

test('the plot as PNG is a picture of twice the drawing’s size, and not all of one colour', async () => {
  const png = await downloadOf(page, button('Plot, PNG'));
  // PNG (W3C), sections 5.2 and 11.2.2: the signature; width and height stand in bytes 16 to 23 (from memory)
  expect(png.subarray(0, 8).toString('latin1')).toBe('\x89PNG\r\n\x1a\n');
  expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([2000, 1320]);
  const colours = await page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (sign) => sign.charCodeAt(0));
    const bitmap = await createImageBitmap(new Blob([bytes]));
    const pen = new OffscreenCanvas(bitmap.width, bitmap.height).getContext('2d')!;
    pen.drawImage(bitmap, 0, 0);
    return new Set(new Uint32Array(pen.getImageData(0, 0, bitmap.width, bitmap.height).data.buffer)).size;
  }, png.toString('base64'));
  expect(colours).toBeGreaterThan(10);
});

test('files have names that say what is in them', async () => {
  const [download] = await Promise.all([page.waitForEvent('download'), button('Readings, CSV').click()]);
  expect(download.suggestedFilename()).toMatch(/^clampline-New-job-\d{4}-\d\d-\d\d-\d{4}-readings\.csv$/);
});

test('a file that is no job, or only a part of one, changes nothing and says why', async () => {
  await openJobFile('letter.json', 'Dear reader');
  await page
    .getByText('letter.json is not a Clampline job file: it is not JSON. Nothing was changed.')
    .waitFor();
  await openJobFile('half.json', savedText.slice(0, savedText.length / 2));
  await page.getByText(/half\.json is cut short.* Nothing was changed\./).waitFor();
  await openView(page, 'result');
  expect((await downloadOf(page, button('Job file'))).toString()).toBe(savedText);
});

test('a job file opened where its job is comes beside it; neither is lost', async () => {
  await openJobFile('saved.json', savedText);
  await page.getByText('both are kept, the file’s as “New job (copy)”.').waitFor();
  await openView(page, 'result');
  const copy = JSON.parse((await downloadOf(page, button('Job file'))).toString()) as Job;
  const bare = (job: Job): unknown => ({
    ...{ ...job, id: '', name: '' },
    runs: job.runs.map((run) => ({
      ...{ ...run, id: '' },
      readings: run.readings.map((each) => ({ ...each, id: '' })),
    })),
  });
  expect(bare(copy)).toEqual(bare(saved));
  await openView(page, 'jobs');
  await button('Open New job').click();
  await button('Open New job (copy)').waitFor();
});

test('a job removed and opened from its file is the same to the last sign', async () => {
  for (const name of ['New job (copy)', 'New job']) {
    await button(`Remove ${name}`).click();
    await button('Remove the job').click();
    await button(`Remove ${name}`).waitFor({ state: name === 'New job' ? 'visible' : 'hidden' });
  }
  await openJobFile('saved.json', savedText);
  await page.getByText('5 readings · practice engine').waitFor();
  await openView(page, 'result');
  expect((await downloadOf(page, button('Job file'))).toString()).toBe(savedText);
});
