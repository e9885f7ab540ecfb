/** One visit to the page in a folder of a static host, then the server is gone: the page opens, hears, runs the practice
 * engine and saves. Nothing asks for anything elsewhere, nothing breaks the page's own policy, and a newer page waits
 * for the end of the run. */
import type { BrowserContext, Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import type { Job } from '../../core/job';
import { launchChromium } from '../helpers/chromium';
import { FolderServer } from '../helpers/folder-server';
import {
  downloadOf,
  keyReading,
  listenTo,
  openView,
  pressPastCautions,
  saveByDownload,
} from '../helpers/page-acts';

interface ManifestIcon {
  readonly src: string;
  readonly sizes: string;
  readonly type: string;
  readonly purpose: string;
}

const TYPED_DEG = [12.5, 14, 16.5];
const asked: string[] = [];
const broken: string[] = [];
let server: FolderServer;
let browser: Browser;
let context: BrowserContext;
let page: Page;

const button = (name: string) => page.getByRole('button', { name, exact: true });

/** Every request of the page and all that its policy forbids, from the first moment on. */
async function watch(): Promise<void> {
  context.on('request', (request) => asked.push(request.url()));
  await context.exposeFunction('policyBroken', (what: string) => void broken.push(what));
  await context.addInitScript(() =>
    document.addEventListener('securitypolicyviolation', (event) => {
      const { policyBroken } = window as unknown as { policyBroken: (what: string) => void };
      policyBroken(`${event.violatedDirective} ${event.blockedURI} ${event.sourceFile}:${event.lineNumber}`);
    }),
  );
  // No dialogue: what would be printed is counted with the styles that hold in it.
  await context.addInitScript(() => {
    window.print = () => {
      const top = window.top as unknown as { printed?: { title: string; rules: number }[] };
      const rules = document.adoptedStyleSheets.reduce((sum, { cssRules }) => sum + cssRules.length, 0);
      (top.printed ??= []).push({ title: document.title, rules });
    };
  });
  context.on('console', (message) => {
    if (/Content Security Policy/i.test(message.text())) broken.push(message.text());
  });
}

beforeAll(async () => {
  server = new FolderServer(inject('pageAddress'));
  await server.open();
  browser = await launchChromium({ input: 'tone' });
  context = await browser.newContext({ permissions: ['microphone'] });
  await watch();
  page = await context.newPage();
  await saveByDownload(page);
  await page.goto(server.address);
});
afterAll(async () => {
  await browser?.close();
  await server?.shut();
});

test('the manifest names the program, opens in its own folder, and its icons are as large as it says', async () => {
  const address = await page.locator('link[rel="manifest"]').getAttribute('href');
  const manifest = (await (await fetch(new URL(address!, server.address))).json()) as {
    name: string;
    start_url: string;
    scope: string;
    display: string;
    icons: ManifestIcon[];
  };
  expect(manifest).toMatchObject({ name: 'Clampline', start_url: './', scope: './', display: 'standalone' });
  expect(manifest.icons.map(({ purpose }) => purpose)).toContain('maskable');
  for (const { src, sizes, type } of manifest.icons) {
    const icon = await fetch(new URL(src, server.address));
    expect([icon.status, icon.headers.get('content-type')]).toEqual([200, type]);
    if (type !== 'image/png') continue;
    const png = Buffer.from(await icon.arrayBuffer());
    // PNG (W3C), 11.2.2 IHDR: width and height stand in bytes 16 to 23 (from memory)
    expect(`${png.readUInt32BE(16)}x${png.readUInt32BE(20)}`).toBe(sizes);
  }
});

test('after one visit the page says that it needs no network, and how much room there is', async () => {
  await openView(page, 'jobs');
  await page.getByText('Ready: this page opens and works with no network and no server.').waitFor();
  expect(await page.getByTestId('room').innerText()).toMatch(/^[\d.]+ [kMG]B used, [\d.]+ [kMG]B left/);
});

test('with its server gone the page opens again and listens to the line input', async () => {
  await server.shut();
  await expect(fetch(server.address)).rejects.toThrow();
  await page.reload();
  await listenTo(page, null);
  await page.getByRole('table', { name: 'What was asked, and what the system gives' }).waitFor();
});

test('with its server gone a run on the practice engine is done and its job file saved', async () => {
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Practice engine/ }).check();
  await pressPastCautions(page, button('Start the practice engine'));
  await button('Stop the practice engine').waitFor();
  await openView(page, 'run');
  await pressPastCautions(page, button('Start run'));
  await button('End run').waitFor();
  for (const deg of TYPED_DEG) await keyReading(page, deg);
  await openView(page, 'result');
  const saved = async (): Promise<Job> =>
    JSON.parse((await downloadOf(page, button('Job file'))).toString()) as Job;
  expect((await saved()).runs[0]!.readings.map(({ seenDeg }) => seenDeg)).toEqual(TYPED_DEG);
  // The trace goes on growing while the run does: how fast is the machine's affair.
  await expect
    .poll(async () => (await saved()).runs[0]!.trace!.timeS.length, { timeout: 30_000 })
    .toBeGreaterThan(5);
  const plot = await downloadOf(page, button('Plot, PNG'));
  expect(plot.length).toBeGreaterThan(5000);
  for (const view of ['engine', 'sound', 'run', 'result', 'jobs'] as const) await openView(page, view);
});

test('with its server gone tape and report are handed to the printer with their styles', async () => {
  await openView(page, 'checks');
  const damper = page.getByLabel('Damper diameter', { exact: true });
  await damper.fill('203.2');
  await damper.press('Tab');
  await button('Print at true scale').click();
  await openView(page, 'log');
  await button('Print the report').click();
  const printed = () =>
    page.evaluate(
      () => (window as unknown as { printed?: { title: string; rules: number }[] }).printed ?? [],
    );
  await expect.poll(async () => (await printed()).length).toBe(2);
  const [tape, report] = await printed();
  expect(tape).toMatchObject({ title: 'Timing tape' });
  expect(report!.title).toMatch(/, run of /);
  for (const { rules } of [tape!, report!]) expect(rules).toBeGreaterThan(4);
});

test('a newer page is told of after the run only, and loaded by one tap', async () => {
  server.makeNewer();
  await server.open();
  await page.evaluate(async () => {
    const kept = await navigator.serviceWorker.getRegistration();
    await kept!.update();
    while (!kept!.waiting) await new Promise((resolve) => setTimeout(resolve, 50));
  });
  const news = page.getByText('A newer Clampline is here and waits between runs.');
  expect(await news.count()).toBe(0);
  await openView(page, 'run');
  await button('End run').click();
  await news.waitFor();
  await Promise.all([page.waitForEvent('load'), button('Load it').click()]);
  await button('Start run').waitFor();
  await page.waitForTimeout(500);
  expect(await news.count()).toBe(0);
  expect(
    await page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.waiting ?? null),
  ).toBeNull();
});

test('in all of this nothing was asked of any other place, and nothing broke the page’s policy', () => {
  const { origin } = new URL(server.address);
  expect(asked.length).toBeGreaterThan(20);
  expect(asked.filter((url) => new URL(url).origin !== origin)).toEqual([]);
  expect(broken).toEqual([]);
});

test('the policy allows no script in the page, none from elsewhere, and no request to elsewhere', async () => {
  const html = await (await fetch(server.address)).text();
  expect(html).not.toMatch(/<script(?![^>]*\bsrc=)/);
  const before = broken.length;
  const reached = await page.evaluate(async () => {
    const script = document.createElement('script');
    script.textContent = 'window.ranInline = true';
    document.body.append(script);
    const elsewhere = await fetch('http://127.0.0.1:9/').then(
      () => true,
      () => false,
    );
    return { inline: 'ranInline' in window, elsewhere };
  });
  expect(reached).toEqual({ inline: false, elsewhere: false });
  await expect.poll(() => broken.length - before).toBeGreaterThanOrEqual(2);
  expect(broken.slice(before).join('\n')).toMatch(/script-src/);
  expect(broken.slice(before).join('\n')).toMatch(/connect-src/);
});
