/** The browser killed at random moments of a run under way, again and again (`npm run bench -- kill`): what had been keyed,
 * what came back, and how much of the trace went. CLAMPLINE_BENCH_KILLS says how often; 50 by itself. */
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createRandom } from '../../dsp/maker/random';
import { chromiumForTests } from '../helpers/find-chromium';
import { openView, pressPastCautions, saveByDownload, savedJob } from '../helpers/page-acts';
import { servePage } from '../helpers/page-server';

const KILLS = Number(process.env['CLAMPLINE_BENCH_KILLS'] ?? 50);
const random = createRandom(20261125, 50);

interface Browsing {
  readonly context: BrowserContext;
  readonly page: Page;
}

async function open(profile: string, address: string): Promise<Browsing> {
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: chromiumForTests(),
    args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
  });
  const page = await context.newPage();
  await saveByDownload(page);
  await page.goto(address);
  return { context, page };
}

/** Ends every process of this profile at once. */
async function kill(profile: string, { context }: Browsing): Promise<void> {
  const gone = new Promise((resolve) => context.once('close', resolve));
  for (const name of readdirSync('/proc').filter((each) => /^\d+$/.test(each))) {
    try {
      const isIts = readFileSync(`/proc/${name}/cmdline`, 'utf8').includes(`--user-data-dir=${profile}`);
      if (isIts && Number(name) !== process.pid) process.kill(Number(name), 'SIGKILL');
    } catch {
      // it has ended meanwhile
    }
  }
  await gone;
}

async function startPractice(page: Page): Promise<void> {
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Practice engine/ }).check();
  await pressPastCautions(page, page.getByRole('button', { name: 'Start the practice engine' }));
  await page.getByText('Following', { exact: true }).waitFor();
  await openView(page, 'run');
}

/** Pins and types degrees; the moment of Enter is the moment of the reading. @returns the trace's time at the pin */
async function keyReading(page: Page, deg: number): Promise<void> {
  await page.getByTestId('speed').filter({ hasText: 'rpm' }).waitFor();
  await page.keyboard.press(' ');
  await page.getByRole('region', { name: 'Degrees of the pinned reading' }).waitFor();
  await page.keyboard.type(String(deg));
  await page.keyboard.press('Enter');
}

export async function benchKill(folder: string): Promise<void> {
  const served = await servePage('web');
  const profile = join(folder, 'profile');
  const typed: number[] = [];
  const lostS: number[] = [];
  let [lostReadings, notOpened, storesLost] = [0, 0, 0];
  let browsing = await open(profile, served.address);
  try {
    await startPractice(browsing.page);
    await pressPastCautions(browsing.page, browsing.page.getByRole('button', { name: 'Start run' }));
    for (let n = 0; n < KILLS; n++) {
      const deg = Math.round(random.between(50, 400)) / 10;
      await keyReading(browsing.page, deg);
      typed.push(deg);
      // Half of the kills follow the key at once, half at some moment of the next seconds.
      await browsing.page.waitForTimeout(n % 2 ? random.between(0, 2000) : random.between(0, 20));
      const killedMs = Date.now();
      await kill(profile, browsing);
      browsing = await open(profile, served.address);
      const goOn = browsing.page.getByRole('button', { name: 'Go on' });
      await goOn
        .or(browsing.page.getByText('was still open'))
        .first()
        .waitFor()
        .catch(() => undefined); // what the page shows instead is said below
      if (await goOn.isVisible()) {
        storesLost++; // the browser's own store; what it held came back from the copies
        await goOn.click();
      }
      const isOpen = await browsing.page
        .getByText(/Run of .* was still open; it goes on\./)
        .waitFor()
        .then(
          () => true,
          () => false,
        );
      const run = isOpen ? (await savedJob(browsing.page)).runs.at(-1) : undefined;
      if (!run) {
        notOpened++;
        const said = await browsing.page.getByRole('alert').allInnerTexts();
        console.log(
          `kill ${n + 1}: the run is not found open; the page says: ${said.join(' ') || 'nothing'}`,
        );
        await browsing.page.reload();
        n--; // the same again, on the page loaded anew
        if (notOpened > 5) break;
        await startPractice(browsing.page);
        continue;
      }
      const back = run.readings.map(({ seenDeg }) => seenDeg);
      lostReadings += typed.length - back.length;
      if (back.some((value, i) => value !== typed[i]))
        console.log(`kill ${n + 1}: readings differ: ${back.join(' ')}`);
      typed.splice(0, typed.length, ...back); // counted once
      const pinS = run.readings.at(-1)?.timeS ?? null;
      const pinnedMs = Date.parse(run.readings.at(-1)?.at ?? ''); // page and bench go by one clock
      if (pinS !== null && back.at(-1) === deg)
        lostS.push(pinS + (killedMs - pinnedMs) / 1000 - (run.trace?.timeS.at(-1) ?? 0));
      await startPractice(browsing.page);
    }
  } finally {
    await browsing.context.close().catch(() => undefined);
    await served.close();
  }
  const worst = Math.max(0, ...lostS);
  console.log(
    `${KILLS} kills: readings lost ${lostReadings}; the run not found open ${notOpened} times; the browser threw its store away ${storesLost} times`,
  );
  console.log(
    `trace lost: at most ${worst.toFixed(2)} s, middle ${[...lostS].sort((a, b) => a - b)[Math.floor(lostS.length / 2)]?.toFixed(2) ?? '?'} s; ratio to the second that may go ${worst.toFixed(2)}`,
  );
}
