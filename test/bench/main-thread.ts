/** The page's main thread during a run with live sound and half an hour of trace on screen, of a coil lead of eight
 * cylinders: its longest tasks by the clock and by the processor, and from tap to point, beside a page that does nothing
 * else than draw a point when a key is pressed. */
import type { Browser, Page } from 'playwright-core';
import { listenTo, openView, pressPastCautions } from '../helpers/page-acts';
import { servePage } from '../helpers/page-server';
import { freshPage, launch, makeInput, sayTimes } from './browse';
import { mainThreadTasks } from './browser-trace';
import { keepHalfAnHour } from './half-hour';

const LONG_TASK_MS = 50; // [W3C Long Tasks API]
const FRAME_MS = 1000 / 60;
const WATCHED_MS = 20_000;
const TAPS = 60;

async function watched(browser: Browser, page: Page, what: string, act: () => Promise<void>): Promise<void> {
  await browser.startTracing(page, { categories: ['toplevel'] });
  await act();
  const { wallMs, cpuMs } = mainThreadTasks(await browser.stopTracing());
  const longest = (ms: readonly number[]): number => ms.reduce((most, each) => Math.max(most, each), 0);
  const long = (ms: readonly number[]): number => ms.filter((each) => each > LONG_TASK_MS).length;
  console.log(
    `${what}: of ${wallMs.length} tasks ${long(wallMs)} over ${LONG_TASK_MS} ms by the clock, ${long(cpuMs)} by the processor; ` +
      `longest ${longest(wallMs).toFixed(0)} ms and ${longest(cpuMs).toFixed(0)} ms; ratio to ${LONG_TASK_MS} ms ${(longest(wallMs) / LONG_TASK_MS).toFixed(2)} and ${(longest(cpuMs) / LONG_TASK_MS).toFixed(2)}`,
  );
}

interface Tap {
  /** Until the page had drawn its point. */
  readonly drawnMs: number;
  /** Until the frame was presented. */
  readonly shownMs: number;
}

/** What a drawing on a canvas within `selector` follows on a key: milliseconds from the key's event to the drawing's end, and
 * to the frame's presentation as the browser tells it, in steps of 8 ms [W3C Event Timing].
 * @throws Error if nothing was drawn */
async function keyToDrawing(page: Page, selector: string): Promise<Tap> {
  await page.evaluate((canvas) => {
    window.drawnMs = null;
    window.shownMs = new Promise((resolve) => {
      addEventListener(
        'keydown',
        ({ timeStamp }) => {
          window.onDrawn = (element) => {
            if (element.matches(canvas)) window.drawnMs ??= performance.now() - timeStamp;
          };
          new PerformanceObserver((list, observer) => {
            const entry = list.getEntries().find((each) => Math.abs(each.startTime - timeStamp) < 1);
            if (!entry) return;
            observer.disconnect();
            resolve(entry.duration);
          }).observe({ type: 'event', durationThreshold: 16 } as PerformanceObserverInit);
        },
        { once: true, capture: true },
      );
    });
  }, selector);
  await page.keyboard.press('Enter');
  const { drawnMs, shownMs } = await page.evaluate(async (untoldMs) => {
    // An event that was answered within 16 ms is not told of.
    const untold = new Promise<number>((resolve) => setTimeout(() => resolve(untoldMs), 1500));
    const shown = await Promise.race([window.shownMs, untold]);
    window.onDrawn = null;
    return { drawnMs: window.drawnMs, shownMs: shown };
  }, 16);
  if (drawnMs === null) throw new Error(`nothing was drawn on ${selector}`);
  return { drawnMs, shownMs };
}

function sayTaps(what: string, taps: readonly Tap[]): void {
  const drawnMs = taps.map((tap) => tap.drawnMs);
  // What is shown was drawn before, however coarsely the browser tells it.
  const shownMs = taps.map((tap) => Math.max(tap.drawnMs, tap.shownMs));
  sayTimes(`${what}, drawn`, drawnMs, 2 * FRAME_MS);
  sayTimes(`${what}, presented`, shownMs, 2 * FRAME_MS);
}

async function tapToPoint(page: Page): Promise<Tap[]> {
  const taps: Tap[] = [];
  for (let n = 0; n < TAPS; n++) {
    await page.keyboard.press('Space');
    await page.getByTestId('typed').waitFor();
    await page.keyboard.type(String(10 + n));
    taps.push(await keyToDrawing(page, '.curve canvas'));
  }
  return taps;
}

/** The same on a page that has nothing to do. */
async function tapOnEmptyPage(browser: Browser, address: string): Promise<Tap[]> {
  const page = await freshPage(browser);
  await page.addInitScript(WATCH);
  await page.goto(`${address}icons/mark-192.png`);
  await page.evaluate(() => {
    const canvas = document.body.appendChild(document.createElement('canvas'));
    addEventListener('keydown', () =>
      requestAnimationFrame(() => {
        const pen = canvas.getContext('2d')!;
        pen.clearRect(0, 0, 300, 150);
        pen.fillRect(Math.random() * 300, 10, 9, 9);
      }),
    );
  });
  const taps: Tap[] = [];
  for (let n = 0; n < TAPS; n++) taps.push(await keyToDrawing(page, 'canvas'));
  await page.close();
  return taps;
}

declare global {
  interface Window {
    drawnMs: number | null;
    shownMs: Promise<number>;
    onDrawn: ((canvas: HTMLCanvasElement) => void) | null;
  }
}

const WATCH = (): void => {
  const pen = CanvasRenderingContext2D.prototype;
  const clear = pen.clearRect;
  pen.clearRect = function (...box) {
    clear.apply(this, box);
    window.onDrawn?.(this.canvas);
  };
};

export async function benchMainThread(folder: string): Promise<void> {
  const input = await makeInput(folder, 60, [
    '--pickup',
    'coil',
    '--profile',
    '0:900,20:4200,40:4200,60:900',
  ]);
  const served = await servePage('web');
  const browser = await launch(input);
  try {
    const page = await freshPage(browser, { viewport: { width: 1280, height: 800 } });
    await page.addInitScript(WATCH);
    const rows = await keepHalfAnHour(page, served.address);
    console.log(`a run under way with ${rows} rows of trace in the store`);
    await watched(browser, page, 'page opened on the run', async () => {
      await page.goto(`${served.address}#run`);
      await page.getByRole('button', { name: 'Whole run in the trace' }).waitFor();
    });
    await listenTo(page, null);
    await openView(page, 'run');
    await page.getByTestId('speed').filter({ hasText: 'rpm' }).waitFor();
    await watched(browser, page, 'last 60 s of the trace on screen', () => page.waitForTimeout(WATCHED_MS));
    await pressPastCautions(page, page.getByRole('button', { name: 'Whole run in the trace' }));
    await watched(browser, page, 'whole run on screen', () => page.waitForTimeout(WATCHED_MS));
    let taps: Tap[] = [];
    await watched(browser, page, 'readings taken', async () => {
      taps = await tapToPoint(page);
    });
    sayTaps('tap to point', taps);
    sayTaps('on a page that does nothing else', await tapOnEmptyPage(browser, served.address));
  } finally {
    await browser.close();
    await served.close();
  }
}
