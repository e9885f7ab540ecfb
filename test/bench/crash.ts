/** A thread of the page dies in mid-run, again and again: milliseconds from its death to the next one's start, and to the
 * next speed on screen (`npm run bench -- crash`). */
import type { Browser, Page } from 'playwright-core';
import { noteThreads } from '../helpers/dying-threads';
import { listenTo, openView, pressPastCautions } from '../helpers/page-acts';
import { servePage } from '../helpers/page-server';
import { freshPage, launch, makeInput, sayTimes } from './browse';

const TIMES = Number(process.env['CLAMPLINE_BENCH_CRASHES'] ?? 10);
const MOST_MS = 1000;

const KINDS = [
  { name: 'analysis thread throws, practice engine', live: false, how: 'throw' },
  { name: 'analysis thread ends without a word, line input', live: true, how: 'end' },
  { name: 'audio thread throws, line input', live: true, how: 'audio' },
] as const;
type How = (typeof KINDS)[number]['how'];

async function running(browser: Browser, address: string, isLive: boolean): Promise<Page> {
  // The page's policy would refuse the bench's own module for the audio thread.
  const page = await freshPage(browser, { bypassCSP: true, serviceWorkers: 'block' });
  await noteThreads(page);
  await page.goto(address);
  if (isLive) await listenTo(page, null);
  else {
    await openView(page, 'sound');
    await page.getByRole('radio', { name: /Practice engine/ }).check();
    await pressPastCautions(page, page.getByRole('button', { name: 'Start the practice engine' }));
  }
  await openView(page, 'run');
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.getByTestId('speed').filter({ hasText: 'rpm' }).waitFor();
  await page.waitForTimeout(2000);
  return page;
}

/** Kills, and watches frame by frame until a speed stands there that no dead thread can have given. */
const killAndWatch = (page: Page, how: How): Promise<{ startMs: number; speedMs: number }> =>
  page.evaluate(
    (kind) =>
      new Promise((resolve) => {
        const { workers, nodes, madeMs } = window.threads;
        const before = madeMs.length;
        const diedAtMs = performance.now();
        if (kind === 'end') workers[0]!.terminate();
        else if (kind === 'audio') nodes[0]!.port.postMessage({ throw: true });
        else
          workers[0]!.dispatchEvent(
            new ErrorEvent('error', { message: 'made by the bench', cancelable: true }),
          );
        const speed = document.querySelector<HTMLElement>('[data-testid=speed]')!;
        let isBlank = false; // what the dead thread said last goes first
        const look = (): void => {
          const startedAtMs = madeMs[before];
          const isSpeed = speed.innerText.includes('rpm');
          if (startedAtMs !== undefined && !isSpeed) isBlank = true;
          if (startedAtMs !== undefined && isBlank && isSpeed)
            return resolve({
              startMs: startedAtMs - diedAtMs,
              speedMs: performance.now() - diedAtMs,
            });
          requestAnimationFrame(look);
        };
        look();
      }),
    how,
  );

export async function benchCrash(folder: string): Promise<void> {
  const input = await makeInput(folder, 30, ['--rpm', '1800']);
  const served = await servePage('web');
  const browser = await launch(input);
  try {
    for (const { name, live, how } of KINDS) {
      const tookMs: { startMs: number; speedMs: number }[] = [];
      for (let n = 0; n < TIMES; n++) {
        const page = await running(browser, served.address, live);
        tookMs.push(await killAndWatch(page, how));
        await page.context().close();
      }
      sayTimes(
        `${name}: to its restart`,
        tookMs.map(({ startMs }) => startMs),
        MOST_MS,
      );
      sayTimes(
        `${name}: to the next speed`,
        tookMs.map(({ speedMs }) => speedMs),
        MOST_MS,
      );
    }
  } finally {
    await browser.close();
    await served.close();
  }
}
