/** The report as a browser prints it: one page of A4 and of Letter, nothing runs, axe-core finds nothing. */
import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { reportHtml } from '../../core/report/report';
import { sampleJob } from '../../samples/job';
import { busyJob } from '../helpers/busy-job';
import { launchChromium } from '../helpers/chromium';

let browser: Browser;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
  page = await browser.newPage();
});
afterAll(() => browser.close());

const JOBS = {
  'a run of 15 readings with the run before it': sampleJob(),
  'a first run of 10 readings with notes': busyJob(1, 10),
  'the last of 6 runs of 10 readings with notes, knock and log entries': busyJob(6, 10),
  'the last of 14 runs of 40 readings': busyJob(14, 40),
  'a run of 120 readings': busyJob(2, 120),
};
test.each(Object.entries(JOBS))('%s prints on one page of A4 and one of Letter', async (_, job) => {
  await page.setContent(reportHtml(job));
  for (const format of ['A4', 'Letter']) {
    const pdf = (await page.pdf({ format })).toString('latin1');
    expect(pdf.match(/\/Type\s*\/Page\b/g), format).toHaveLength(1);
  }
});

test('nothing that was written in the job runs', async () => {
  const job = sampleJob();
  const name = '<img src=x onerror="window.ran=1"><script>window.ran=1</script>';
  await page.setContent(reportHtml({ ...job, name, notes: name }));
  expect(await page.evaluate(() => 'ran' in window)).toBe(false);
  expect(await page.locator('h1').innerText()).toBe(name);
  expect(await page.locator('script, img').count()).toBe(0);
});

test('axe-core finds nothing in it', async () => {
  const bare = await browser.newPage({ bypassCSP: true }); // axe-core itself is a script
  await bare.setContent(reportHtml(sampleJob()));
  await bare.evaluate(axe.source);
  const found = await bare.evaluate(async () => {
    const { violations } = await window.axe.run(document);
    return violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html.slice(0, 120)}`));
  });
  expect(found).toEqual([]);
  await bare.close();
});
