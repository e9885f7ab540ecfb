/** In a real Chromium with real capture: milliseconds from a strike's arrival in the browser to the figure that it
 * changed. (From tap to point: `thread`.) */
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { chromiumForTests } from '../helpers/find-chromium';
import { listenTo, openView, pressPastCautions } from '../helpers/page-acts';
import { servePage } from '../helpers/page-server';
import { run } from './process';
import { CLI } from './settings';

const FRAME_MS = 1000 / 60;
/** Speeds that alternate, each held long enough for its figure to settle; strikes are told by the sound itself. */
const LOW_RPM = 1500;
const HIGH_RPM = 2100; // not twice as fast: halves and doubles are doubted longest
const SECONDS = 32;

const quantile = (values: readonly number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))]!;
const say = (what: string, ms: readonly number[]): void =>
  console.log(
    ms.length === 0
      ? `${what}: not seen`
      : `${what}: median ${quantile(ms, 0.5).toFixed(0)} ms, worst ${Math.max(...ms).toFixed(0)} ms of ${ms.length}; ratio median / frame of 60 Hz ${(quantile(ms, 0.5) / FRAME_MS).toFixed(1)}`,
  );

async function makeSteps(folder: string): Promise<string> {
  const path = join(folder, 'steps.wav');
  // One corner just after another: the speed jumps, up and down, every two seconds.
  const corners = Array.from({ length: SECONDS / 2 }, (_, n) => {
    const rpm = n % 2 ? HIGH_RPM : LOW_RPM;
    return `${n ? n * 2 + 0.02 : 0}:${rpm},${n * 2 + 2}:${rpm}`;
  }).join(',');
  const recipe = ['--rate', '44100', '--channels', '2', '--seconds', String(SECONDS), '--profile', corners];
  await run('node', [
    ...CLI,
    'simulate',
    ...recipe,
    '--wander',
    '0',
    '--quiet-start',
    '0.5',
    '--quiet-end',
    '0.2',
    '--out',
    path,
  ]);
  return path;
}

/** A second ear on the same input that notes when each strike reaches the browser, in the page's wall time. */
const LISTEN_BESIDE = `
  window.arrivals = [];
  const open = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
  navigator.mediaDevices.getUserMedia = async (constraints) => {
    const stream = await open(constraints);
    const context = new AudioContext({ sampleRate: 44100 });
    const code = \`registerProcessor('ear', class extends AudioWorkletProcessor {
      process([[x]]) {
        if (x && currentTime > (this.deaf ?? 0) && x.some((v) => Math.abs(v) > 0.2)) {
          this.deaf = currentTime + 0.01;
          this.port.postMessage(Date.now());
        }
        return true;
      }
    })\`;
    await context.audioWorklet.addModule(URL.createObjectURL(new Blob([code], { type: 'text/javascript' })));
    const ear = new AudioWorkletNode(context, 'ear', { numberOfOutputs: 0 });
    ear.port.onmessage = ({ data }) => window.arrivals.push(data);
    context.createMediaStreamSource(stream).connect(ear);
    return stream;
  };`;

/** Notes when the figure crosses the middle between the two speeds. */
const WATCH_FIGURE = `
  window.crossings = [];
  let high = null;
  new MutationObserver(() => {
    const rpm = parseFloat(document.querySelector('[data-testid=speed]').innerText.replace(/[^0-9.]/g, ' ').trim().split(' ')[0]);
    if (!(rpm > 0)) return;
    const now = rpm > ${Math.sqrt(LOW_RPM * HIGH_RPM)};
    if (high !== null && now !== high) window.crossings.push({ at: Date.now(), high: now });
    high = now;
  }).observe(document.querySelector('[data-testid=speed]'), { subtree: true, childList: true, characterData: true });`;

/** The strike that showed the change: the first whose interval lies beyond the middle. */
function showedAt(arrivals: readonly number[], crossing: { at: number; high: boolean }): number | null {
  const middleMs = 120_000 / Math.sqrt(LOW_RPM * HIGH_RPM);
  for (let i = arrivals.length - 1; i > 0; i--) {
    const beyond = (n: number): boolean => arrivals[n]! - arrivals[n - 1]! < middleMs === crossing.high;
    if (arrivals[i]! <= crossing.at && beyond(i) && i > 1 && !beyond(i - 1)) return arrivals[i]!;
  }
  return null;
}

async function strikeToFigure(page: Page): Promise<number[]> {
  await page.evaluate(WATCH_FIGURE);
  await page.waitForTimeout((SECONDS - 16) * 1000);
  const { arrivals, crossings } = await page.evaluate<{
    arrivals: number[];
    crossings: { at: number; high: boolean }[];
  }>('({ arrivals: window.arrivals, crossings: window.crossings })');
  return crossings.flatMap((crossing) => {
    const at = showedAt(arrivals, crossing);
    return at === null ? [] : [crossing.at - at];
  });
}

export async function benchLatency(folder: string): Promise<void> {
  const input = await makeSteps(folder);
  const served = await servePage('web');
  const browser = await chromium.launch({
    executablePath: chromiumForTests(),
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--autoplay-policy=no-user-gesture-required',
      '--use-fake-device-for-media-stream',
      '--use-fake-ui-for-media-stream',
      `--use-file-for-fake-audio-capture=${input}%noloop`,
    ],
  });
  try {
    const page = await browser.newPage({
      viewport: { width: 1280, height: 800 },
      bypassCSP: true, // the second ear's code stands in a blob
    });
    await page.addInitScript(LISTEN_BESIDE);
    await page.goto(served.address);
    await listenTo(page, null);
    await openView(page, 'run');
    await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
    say('strike to figure', await strikeToFigure(page));
  } finally {
    await browser.close();
    await served.close();
  }
}
