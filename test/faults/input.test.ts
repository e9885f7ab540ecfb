/** What can go wrong with a sound input, met on the real page: each has its plain sentence and a way on. What a test
 * machine cannot do for real (pull a plug, hold a device) is done to the browser's own objects, which then say so to
 * the page as they would. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import { PLAIN_SCENARIO } from '../../core/scenario/scenario';
import { launchChromium } from '../helpers/chromium';
import { makeHanging } from '../helpers/made-recording';
import { listenTo, openView, pressPastCautions } from '../helpers/page-acts';

/** Several pages at once, on a machine with too much to do. */
const STEP_MS = 60_000;

declare global {
  interface Window {
    /** What the page has made so far, noted by the test. */
    made: { tracks: MediaStreamTrack[]; contexts: AudioContext[] };
    /** What the next opening of an input throws, by its name. */
    refuseWith: string | null;
  }
}

let withTone: Browser;
let others: readonly [Browser, Browser];
let hanging: Browser;
const hangs = makeHanging({ ...PLAIN_SCENARIO, sampleRateHz: 44_100, seconds: 4, seed: 8 }, 8);
beforeAll(async () => {
  hanging = await launchChromium({ input: hangs.path });
  withTone = await launchChromium({ input: 'tone' });
  others = [await launchChromium({ input: 'tone', allows: false }), await launchChromium({ input: null })];
});
afterAll(async () => {
  await Promise.all([withTone, hanging, ...others].map((browser) => browser.close()));
  hangs.remove();
});

/** A page with storage and permissions of its own: no test meets what another did. */
async function open(browser = withTone, permissions = ['microphone']): Promise<Page> {
  const context = await browser.newContext({ permissions });
  await context.addInitScript(noteWhatIsMade);
  const page = await context.newPage();
  page.setDefaultTimeout(STEP_MS);
  await page.goto(inject('pageAddress'));
  return page;
}

/** Runs in the page before anything else: notes objects as they are made, and refuses an input when told to. */
function noteWhatIsMade(): void {
  window.made = { tracks: [], contexts: [] };
  window.refuseWith = null;
  const devices = navigator.mediaDevices;
  const ask = devices.getUserMedia.bind(devices);
  devices.getUserMedia = async (wanted) => {
    if (window.refuseWith) throw new DOMException('made by the test', window.refuseWith);
    const stream = await ask(wanted);
    window.made.tracks.push(...stream.getTracks());
    return stream;
  };
  window.AudioContext = class extends AudioContext {
    constructor(options?: AudioContextOptions) {
      super(options);
      window.made.contexts.push(this);
    }
  };
}

/** The device is open: what it gives is on show. */
const isListening = (page: Page): Promise<void> =>
  page.getByRole('table', { name: 'What was asked, and what the system gives' }).waitFor();

/** Sound has come from it. */
const isHearing = (page: Page): Promise<void> =>
  page.getByRole('img', { name: /^Level: peak [−-]?\d/ }).waitFor();

async function listening(): Promise<Page> {
  const page = await open();
  await listenTo(page, null);
  await isListening(page);
  return page;
}

/** Waits for the sentence. @returns the label of its way on */
async function told(page: Page, sentence: string | RegExp): Promise<string> {
  const said = page.getByRole('alert').filter({ has: page.getByText(sentence, { exact: true }) });
  await goOnUntil(page, async () => (await said.count()) > 0);
  return said.getByRole('button').innerText();
}

const nothingTold = (page: Page): Promise<void> =>
  goOnUntil(page, async () => (await page.getByRole('alert').count()) === 0);

/** A gap that a machine with too much to do adds of its own is waved on, as a person would. */
async function goOnUntil(page: Page, isSo: () => Promise<boolean>): Promise<void> {
  for (const untilMs = Date.now() + 60_000; !(await isSo());) {
    if (Date.now() > untilMs) throw new Error(`on show: ${await page.getByRole('alert').allInnerTexts()}`);
    const gap = page.getByRole('alert').filter({ hasText: /^Nothing was heard for/ });
    if (await gap.isVisible())
      await gap
        .getByRole('button')
        .click({ timeout: 1000 })
        .catch(() => undefined);
    await page.waitForTimeout(100);
  }
}

/** The sound stops for good; the event is the browser's part when a plug is pulled. */
const pullThePlug = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const [track] = window.made.tracks;
    track!.stop();
    track!.dispatchEvent(new Event('ended'));
  });

const press = (page: Page, name: string): Promise<void> => page.getByRole('button', { name }).click();

describe.concurrent('a sound input', () => {
  test('a refused permission is said, and listening can be tried again', async () => {
    const page = await open(others[0], []);
    await listenTo(page, null);
    const wayOn = await told(
      page,
      'The browser was not allowed to listen. Allow the microphone for this page (the sign beside its address), then try again.',
    );
    expect(wayOn).toBe('Try again');
    await page.context().grantPermissions(['microphone']);
    await press(page, 'Try again');
    await isListening(page);
    await nothingTold(page);
    await page.context().close();
  });

  test('a machine without an input is told to plug one in', async () => {
    const page = await open(others[1]);
    await listenTo(page, null);
    const wayOn = await told(page, 'No sound input was found. Plug the sound interface in, then try again.');
    expect(wayOn).toBe('Try again');
    await page.context().close();
  });

  test('an input that another program holds, or that is no longer there, is said, and tried again once it is free', async () => {
    const page = await open();
    // The names that the Media Capture standard gives for a device that is gone, and for one that will not open.
    await page.evaluate(() => (window.refuseWith = 'OverconstrainedError'));
    await listenTo(page, 'Fake Audio Input 1');
    await told(page, 'The chosen sound input is no longer there. Plug it in again or choose another.');
    await page.evaluate(() => (window.refuseWith = 'NotReadableError'));
    await press(page, 'Try again');
    await told(page, /^The sound input gives no sound: another program may hold it\./);
    await page.evaluate(() => (window.refuseWith = null));
    await press(page, 'Try again');
    await isListening(page);
    await nothingTold(page);
    await page.context().close();
  });

  test('an unplugged device is said, what was heard stays, and listening goes on with one tap', async () => {
    const page = await listening();
    await pullThePlug(page);
    const wayOn = await told(
      page,
      /^The sound input “Fake Default Audio Input” is gone: it was unplugged or switched off\./,
    );
    expect(wayOn).toBe('Listen again');
    expect(await page.getByRole('heading', { name: 'What is heard', exact: true }).count()).toBe(1);
    await press(page, 'Listen again');
    await isListening(page);
    await nothingTold(page);
    await page.context().close();
  });

  test('a device that comes back in a run is listened to again by itself, and the run goes on', async () => {
    const page = await listening();
    await openView(page, 'run');
    await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
    await pullThePlug(page);
    await told(page, /is gone: it was unplugged or switched off\./);
    await page.evaluate(() => navigator.mediaDevices.dispatchEvent(new Event('devicechange')));
    await nothingTold(page);
    await page.getByRole('button', { name: 'End run' }).waitFor();
    await openView(page, 'sound');
    await isListening(page);
    await page.context().close();
  });

  test('sound that the browser holds back waits for a tap, and the tap brings it back', async () => {
    const page = await listening();
    await page.evaluate(() => window.made.contexts[0]!.suspend());
    const wayOn = await told(
      page,
      'The browser holds the sound back until the page is touched. Touch to listen.',
    );
    expect(wayOn).toBe('Listen');
    await page.getByRole('heading', { name: 'What is heard' }).click(); // anywhere will do
    await nothingTold(page);
    expect(await page.evaluate(() => window.made.contexts[0]!.state)).toBe('running');
    await page.context().close();
  });

  test('an input whose driver hangs, and gives the same sound over and over, is said, with no speed, until it is listened to again', async () => {
    const page = await open(hanging);
    await listenTo(page, null);
    await isHearing(page);
    const way = await told(
      page,
      'The sound input gives the same few milliseconds over and over: its driver hangs. What was heard is kept. Unplug it and plug it in again, then listen again.',
    );
    expect(way).toBe('Listen again');
    await page.getByRole('link', { name: 'lost', exact: true }).waitFor(); // and no figure beside it
    await page
      .getByRole('status')
      .filter({ hasText: 'The input gives the same sound over and over.' })
      .waitFor();
    await press(page, 'Listen again'); // the device begins anew
    await page.getByRole('link', { name: /^\d+ rpm following$/ }).waitFor();
    await page.context().close();
  });

  test('a machine that slept says for how long nothing was heard', async () => {
    const page = await listening();
    await isHearing(page);
    // The frames stand still and the clock goes on, as over a sleep.
    const stoodS = await page.evaluate(async () => {
      const [context] = window.made.contexts;
      const fromMs = performance.now();
      await context!.suspend();
      await new Promise((resolve) => setTimeout(resolve, 2000));
      const forMs = performance.now() - fromMs;
      await context!.resume();
      return forMs / 1000;
    });
    const said = page.getByText(/^Nothing was heard for/);
    await said.waitFor();
    const seconds = Number(/for ([\d.]+) s: the machine or the page slept/.exec(await said.innerText())?.[1]);
    expect(seconds).toBeGreaterThan(stoodS - 0.5);
    expect(seconds).toBeLessThan(stoodS + 4);
    await press(page, 'Go on');
    await nothingTold(page);
    await page.context().close();
  });

  test('an input that falls silent without a word is noticed', async () => {
    const page = await listening();
    await isHearing(page);
    await page.evaluate(() => {
      const [context] = window.made.contexts;
      context!.onstatechange = null; // so that only the missing sound can tell
      return context!.suspend();
    });
    const wayOn = await told(
      page,
      'No sound arrives from the input. Look at its plug and lead, then listen again.',
    );
    expect(wayOn).toBe('Listen again');
    await press(page, 'Listen again');
    await isListening(page);
    await nothingTold(page);
    await page.context().close();
  });

  test('a muted input is said until it is heard again', async () => {
    const page = await listening();
    await page.evaluate(() => window.made.tracks[0]!.dispatchEvent(new Event('mute')));
    expect(await told(page, /^The system has muted the sound input\./)).toBe('Listen again');
    await page.evaluate(() => window.made.tracks[0]!.dispatchEvent(new Event('unmute')));
    await nothingTold(page);
    await page.context().close();
  });

  test('stopping lets go of the device, and so does another source', async () => {
    const page = await listening();
    await press(page, 'Stop listening');
    await page.getByRole('button', { name: 'Start listening' }).click();
    await isListening(page);
    await page.getByRole('radio', { name: /Practice engine/ }).check();
    await press(page, 'Start the practice engine');
    await page.getByRole('button', { name: 'Stop the practice engine' }).waitFor();
    const left = await page.evaluate(() => ({
      tracks: window.made.tracks.map((track) => track.readyState),
      contexts: window.made.contexts.map((context) => context.state),
    }));
    expect(left).toEqual({ tracks: ['ended', 'ended'], contexts: ['closed', 'closed'] });
    await page.context().close();
  });
});
