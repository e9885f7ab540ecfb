/** Work that takes long says how far it has come and stops at a tap: an hour of recording, the search through parts, a
 * trace and a sound to a file, all jobs to one. On the real page. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import type { Job } from '../../core/job';
import { PLAIN_SCENARIO } from '../../core/scenario/scenario';
import { wavHeader } from '../../dsp/wav/wav-writer';
import { launchChromium } from '../helpers/chromium';
import { makeRecording } from '../helpers/made-recording';
import { figureText, openView, saveByDownload } from '../helpers/page-acts';
import { ROOT } from '../helpers/page-server';

const SAMPLE = join(ROOT, 'samples/two-evenings.json');
const { runs } = JSON.parse(readFileSync(SAMPLE, 'utf8')) as Job;

let browser: Browser;
let page: Page;
let downloads = 0;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
  page = await browser.newPage();
  page.setDefaultTimeout(60_000);
  page.on('download', () => downloads++);
  await saveByDownload(page);
  await page.goto(inject('pageAddress'));
  await openView(page, 'jobs');
  const chooser = page.waitForEvent('filechooser');
  await page.getByText('Open a job file').click();
  await (await chooser).setFiles(SAMPLE);
  await page.getByText(`${runs[0]!.readings.length} readings · practice engine`).first().waitFor();
});
afterAll(() => browser.close());

const HOUR_S = 3600;
const MADE_S = 20;

test('an hour of recording shows how far it is read, and what was heard stays when it is stopped', async () => {
  const recording = makeRecording({ ...PLAIN_SCENARIO, seconds: MADE_S, seed: 4 }, 1);
  const samples = readFileSync(recording.path).subarray(44).toString('base64');
  recording.remove();
  const spec = { sampleRateHz: PLAIN_SCENARIO.sampleRateHz, channelCount: 1, coding: 'int16' } as const;
  const header = Buffer.from(wavHeader(spec, HOUR_S * spec.sampleRateHz)).toString('base64');
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Recording/ }).check();
  // The same seconds again and again, held once.
  await page.getByLabel('Open a WAV file').evaluate(
    (input: HTMLInputElement, [head, part, times]) => {
      const bytes = (text: string) => Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
      const again = new Blob([bytes(part)]);
      const files = new DataTransfer();
      files.items.add(new File([bytes(head), ...Array<Blob>(times).fill(again)], 'hour.wav'));
      input.files = files.files;
      input.dispatchEvent(new Event('change', { bubbles: true }));
    },
    [header, samples, HOUR_S / MADE_S] as const,
  );
  await page.waitForFunction(() => (document.querySelector('progress')?.value ?? 0) > 0.001);
  expect(await page.getByText(/^hour\.wav: /).innerText()).toMatch(/^hour\.wav: \d+(\.\d)?\s*%$/);
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await page.getByText(/^hour\.wav: stopped at \d+(\.\d)?\s*%$/).waitFor();
  expect(await page.getByRole('button', { name: 'Stop', exact: true }).count()).toBe(0);
  expect(Number((await figureText(page, 'Strikes found')).replace(/\D/g, ''))).toBeGreaterThan(10);
});

test('the search through the parts owned stops at a tap and keeps what it has looked at', async () => {
  await openView(page, 'parts');
  const sheet = page.locator('section', { hasText: 'Which of my parts come nearest to the target?' }).last();
  // Tapped in the moment in which it appears: on a fast machine the search is soon over.
  await page.evaluate(() => {
    const isStop = (button: HTMLButtonElement) => button.textContent.trim() === 'Stop';
    const watch = new MutationObserver(() => {
      const stop = [...document.querySelectorAll('button')].find(isStop);
      if (!stop) return;
      watch.disconnect();
      document.body.dataset['tapped'] = 'stop';
      stop.click();
    });
    watch.observe(document.body, { childList: true, subtree: true });
  });
  await sheet.getByRole('button', { name: 'Look through my parts' }).click();
  await page.locator('body[data-tapped="stop"]').waitFor();
  await sheet.getByRole('progressbar').waitFor({ state: 'detached' });
  await sheet.getByRole('button', { name: /^Look (again|through my parts)$/ }).waitFor();
  expect(await page.getByRole('alert').count()).toBe(0);
});

const TRACE_ROWS = 3_000_000; // some seventy hours: that the tap comes before the end on a fast machine too
const SOUND_PIECES = 20_000;

/** A trace and a sound beside those of the run, put straight into the store: a week of listening would be long to wait for. */
async function fillStore(): Promise<void> {
  await page.evaluate(
    ([runId, rows, pieces]) =>
      new Promise<void>((resolve, reject) => {
        const opened = indexedDB.open('clampline');
        opened.onerror = () => reject(opened.error!);
        opened.onsuccess = () => {
          const tx = opened.result.transaction(['trace', 'sound'], 'readwrite');
          const timeS = Float64Array.from({ length: rows }, (_, i) => 10_000 + i / 12);
          const rpm = new Float64Array(rows).fill(1234.5);
          tx.objectStore('trace').add({ runId, timeS, rpm, rpmSd: rpm });
          const spec = { sampleRateHz: 48_000, channelCount: 1, coding: 'int16' };
          const bytes = new Uint8Array(200);
          for (let i = 0; i < pieces; i++)
            tx.objectStore('sound').add({ runId, startS: i / 480, frames: 100, spec, bytes });
          tx.oncomplete = () => resolve(opened.result.close());
          tx.onabort = () => reject(tx.error!);
        };
      }),
    [runs[0]!.id, TRACE_ROWS, SOUND_PIECES] as const,
  );
}

test('a trace and a sound on the way to a file, and all jobs on theirs, stop at a tap and leave no file', async () => {
  await fillStore();
  await page.reload();
  await openView(page, 'jobs');
  for (const [button, what] of [
    [/^Trace, CSV/, 'Saving the trace'],
    [/^Sound, WAV/, 'Saving the sound'],
    [/^Save all jobs$/, 'Saving all jobs'],
  ] as const) {
    await page.getByRole('button', { name: button }).last().click();
    const working = page.getByRole('status').filter({ hasText: new RegExp(`^${what}: \\d+(\\.\\d)?\\s*%`) });
    await working.waitFor();
    await working.getByRole('button', { name: 'Stop' }).click();
    await page.getByText('Stopped: no file was written.').waitFor();
    await page.getByRole('button', { name: 'Go on' }).click();
  }
  expect(downloads).toBe(0);
});
