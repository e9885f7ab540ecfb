/** What can go wrong with a sound input, met on the real page: each has its plain sentence and a way on. What a test
 * machine cannot do for real (pull a plug, hold a device) is done to the browser's own objects, which then say so to
 * the page as they would. */
import type { Browser, Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { launchChromium, type ChromiumOptions } from '../helpers/chromium';
import { listenTo, openView, pressPastCautions, problemOnShow } from '../helpers/page-acts';

declare global {
  interface Window {
    /** What the page has made so far, noted by the test. */
    made: {
      tracks: MediaStreamTrack[];
      contexts: AudioContext[];
      workers: Worker[];
      worklets: AudioWorkletNode[];
    };
    /** What the next opening of an input throws, by its name. */
    refuseWith: string | null;
  }
}

let browser: Browser | undefined;
afterEach(async () => {
  await browser?.close();
  browser = undefined;
});

async function open(options: ChromiumOptions, permissions = ['microphone']): Promise<Page> {
  browser = await launchChromium(options);
  const context = await browser.newContext({ permissions });
  await context.addInitScript(noteWhatIsMade);
  const page = await context.newPage();
  await page.goto(inject('pageAddress'));
  return page;
}

/** Runs in the page before anything else: notes objects as they are made, and refuses an input when told to. */
function noteWhatIsMade(): void {
  window.made = { tracks: [], contexts: [], workers: [], worklets: [] };
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
  window.AudioWorkletNode = class extends AudioWorkletNode {
    constructor(context: BaseAudioContext, name: string, options?: AudioWorkletNodeOptions) {
      super(context, name, options);
      window.made.worklets.push(this);
    }
  };
  window.Worker = class extends Worker {
    constructor(url: string | URL, options?: WorkerOptions) {
      super(url, options);
      window.made.workers.push(this);
    }
  };
}

/** The device is open: what it gives is on show. */
const isListening = (page: Page): Promise<void> =>
  page.getByRole('table', { name: 'What was asked, and what the system gives' }).waitFor();
const noProblem = (page: Page): Promise<void> =>
  page.locator('.problem').first().waitFor({ state: 'detached' });

test('a refused permission is said, and listening can be tried again', async () => {
  const page = await open({ input: 'tone', allows: false }, []);
  await listenTo(page, null);
  expect(await problemOnShow(page)).toEqual({
    text: 'The browser was not allowed to listen. Allow the microphone for this page (the sign beside its address), then try again.',
    wayOn: 'Try again',
  });
  await page.context().grantPermissions(['microphone']);
  await page.getByRole('button', { name: 'Try again' }).click();
  await isListening(page);
  await noProblem(page);
});

test('a machine without an input is told to plug one in', async () => {
  const page = await open({ input: null });
  await listenTo(page, null);
  expect(await problemOnShow(page)).toEqual({
    text: 'No sound input was found. Plug the sound interface in, then try again.',
    wayOn: 'Try again',
  });
});

test('an input that another program holds is said, and tried again once it is free', async () => {
  const page = await open({ input: 'tone' });
  // The name that the Media Capture standard gives for a device that the system will not open.
  await page.evaluate(() => (window.refuseWith = 'NotReadableError'));
  await listenTo(page, null);
  const { text, wayOn } = await problemOnShow(page);
  expect(text).toMatch(/^The sound input gives no sound: another program may hold it\./);
  expect(wayOn).toBe('Try again');
  await page.evaluate(() => (window.refuseWith = null));
  await page.getByRole('button', { name: 'Try again' }).click();
  await isListening(page);
});

test('an unplugged device is said, what was heard stays, and listening goes on with one tap', async () => {
  const page = await open({ input: 'tone' });
  await listenTo(page, null);
  await isListening(page);
  await page.evaluate(() => {
    const [track] = window.made.tracks;
    track!.stop(); // the sound stops for good; the event is the browser's part when a plug is pulled
    track!.dispatchEvent(new Event('ended'));
  });
  const { text, wayOn } = await problemOnShow(page);
  expect(text).toMatch(
    /^The sound input “Fake Default Audio Input” is gone: it was unplugged or switched off\./,
  );
  expect(wayOn).toBe('Listen again');
  expect(await page.getByRole('heading', { name: 'What is heard', exact: true }).count()).toBe(1);
  await page.getByRole('button', { name: 'Listen again' }).click();
  await isListening(page);
  await noProblem(page);
});

test('a device that comes back is listened to again by itself', async () => {
  const page = await open({ input: 'tone' });
  await listenTo(page, null);
  await isListening(page);
  await page.evaluate(() => {
    const [track] = window.made.tracks;
    track!.stop();
    track!.dispatchEvent(new Event('ended'));
  });
  await problemOnShow(page);
  await page.evaluate(() => navigator.mediaDevices.dispatchEvent(new Event('devicechange')));
  await isListening(page);
  await noProblem(page);
});

test('sound that the browser holds back waits for a tap, and the tap brings it back', async () => {
  const page = await open({ input: 'tone' });
  await listenTo(page, null);
  await isListening(page);
  await page.evaluate(() => window.made.contexts[0]!.suspend());
  expect(await problemOnShow(page)).toEqual({
    text: 'The browser holds the sound back until the page is touched. Touch to listen.',
    wayOn: 'Listen',
  });
  await page.getByRole('heading', { name: 'What is heard' }).click(); // anywhere will do
  await noProblem(page);
  expect(await page.evaluate(() => window.made.contexts[0]!.state)).toBe('running');
});

test('a machine that slept says for how long nothing was heard', async () => {
  const page = await open({ input: 'tone' });
  await listenTo(page, null);
  await isListening(page);
  await page.waitForTimeout(1000);
  // The frames stand still and the clock goes on, as over a sleep.
  await page.evaluate(async () => {
    const [context] = window.made.contexts;
    await context!.suspend();
    await new Promise((resolve) => setTimeout(resolve, 4000));
    await context!.resume();
  });
  const told = page.getByText(/^Nothing was heard for/);
  await told.waitFor();
  const seconds = Number(/for ([\d.]+) s: the machine or the page slept/.exec(await told.innerText())?.[1]);
  expect(seconds).toBeGreaterThan(3.5);
  expect(seconds).toBeLessThan(8);
  await page.getByRole('button', { name: 'Go on' }).click();
  await noProblem(page);
});

test('an input that falls silent without a word is noticed', async () => {
  const page = await open({ input: 'tone' });
  await listenTo(page, null);
  await isListening(page);
  await page.waitForTimeout(500);
  await page.evaluate(() => {
    const [context] = window.made.contexts;
    context!.onstatechange = null; // so that only the missing sound can tell
    return context!.suspend();
  });
  expect(await problemOnShow(page)).toEqual({
    text: 'No sound arrives from the input. Look at its plug and lead, then listen again.',
    wayOn: 'Listen again',
  });
  await page.getByRole('button', { name: 'Listen again' }).click();
  await isListening(page);
  await noProblem(page);
});

test('a muted input is said until it is heard again', async () => {
  const page = await open({ input: 'tone' });
  await listenTo(page, null);
  await isListening(page);
  await page.evaluate(() => window.made.tracks[0]!.dispatchEvent(new Event('mute')));
  expect((await problemOnShow(page)).text).toMatch(/^The system has muted the sound input\./);
  await page.evaluate(() => window.made.tracks[0]!.dispatchEvent(new Event('unmute')));
  await noProblem(page);
});

test('an audio thread that throws is started again with the device, and the run goes on with a gap', async () => {
  const page = await open({ input: 'tone' });
  await listenTo(page, null);
  await isListening(page);
  await openView(page, 'run');
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.evaluate(() => window.made.worklets[0]!.dispatchEvent(new Event('processorerror')));
  await page
    .getByText(/^The listening part of the page stopped \(the audio thread\) and was started again\./)
    .waitFor();
  const now = await page.evaluate(() => ({
    tracks: window.made.tracks.map((track) => track.readyState),
    worklets: window.made.worklets.length,
  }));
  expect(now).toEqual({ tracks: ['ended', 'live'], worklets: 2 });
  expect(await page.getByRole('button', { name: 'End run' }).count()).toBe(1);
});

test('an input that is no longer there when it is asked for is said', async () => {
  const page = await open({ input: 'tone' });
  await page.evaluate(() => (window.refuseWith = 'OverconstrainedError'));
  await listenTo(page, 'Fake Audio Input 1');
  expect(await problemOnShow(page)).toEqual({
    text: 'The chosen sound input is no longer there. Plug it in again or choose another.',
    wayOn: 'Try again',
  });
});

test('stopping lets go of the device', async () => {
  const page = await open({ input: 'tone' });
  await listenTo(page, null);
  await isListening(page);
  await page.getByRole('button', { name: 'Stop listening' }).click();
  await page.getByRole('button', { name: 'Start listening' }).waitFor();
  const left = await page.evaluate(() => ({
    tracks: window.made.tracks.map((track) => track.readyState),
    contexts: window.made.contexts.map((context) => context.state),
  }));
  expect(left).toEqual({ tracks: ['ended'], contexts: ['closed'] });
});

test('another source lets go of the device too', async () => {
  const page = await open({ input: 'tone' });
  await listenTo(page, null);
  await isListening(page);
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Practice engine/ }).check();
  await page.getByRole('button', { name: 'Start the practice engine' }).click();
  await page.getByRole('button', { name: 'Stop the practice engine' }).waitFor();
  expect(await page.evaluate(() => window.made.tracks.map((track) => track.readyState))).toEqual(['ended']);
});
