/** The parts of the live state, each with made browser objects and a made clock: expected values are hand arithmetic. */
import { describe, expect, test } from 'vitest';
import { inputFacts, lineConstraints } from '../../web/audio/input-facts';
import { durationText, inputProblemText } from '../../web/audio/input-problems';
import { ScreenWake } from '../../web/audio/wake-lock';
import { InputWatch } from '../../web/state/input-watch';
import { KeptPreferences } from '../../web/state/preferences.svelte';
import { Problems } from '../../web/state/problems.svelte';
import { Puller } from '../../web/state/puller';
import { StrikePicture } from '../../web/worker/strike-picture';

const turn = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 0));

describe('what is asked of an input and what it says', () => {
  test('voice processing is asked off and both channels are wanted; a chosen device is wanted exactly', () => {
    // W3C Media Capture and Streams: these are on unless they are asked off
    expect(lineConstraints(null)).toEqual({
      echoCancellation: false,
      noiseSuppression: false,
      autoGainControl: false,
      channelCount: 2,
    });
    expect(lineConstraints('x')).toMatchObject({ deviceId: { exact: 'x' } });
  });

  test('processing that is known to be on is named; unknown is not on', () => {
    const on = { echoCancellation: true, noiseSuppression: false, autoGainControl: true, sampleRate: 48_000 };
    expect(inputFacts('Line', { ...on, channelCount: 2 }, 48_000)).toEqual({
      label: 'Line',
      sampleRateHz: 48_000,
      channelCount: 2,
      processingOn: ['echo cancelling', 'automatic gain'],
    });
    expect(inputFacts('', {}, 44_100)).toMatchObject({
      label: 'Sound input',
      channelCount: 1,
      processingOn: [],
    });
  });

  test('a rate that is not the page’s is said as resampling', () => {
    expect(inputFacts('Line', { sampleRate: 48_000 }, 44_100).processingOn).toEqual([
      'resampling from 48000 to 44100 Hz',
    ]);
  });

  test('an error of no known name gives its own words and a way on', () => {
    expect(inputProblemText(new Error('odd'))).toBe(
      'The sound input could not be opened (odd). Try again or choose another.',
    );
  });

  test.each([
    [1.44, '1.4 s'],
    [12.4, '12 s'],
    [185, '3 min 5 s'],
  ])('%d seconds are said as %s', (seconds, text) => expect(durationText(seconds)).toBe(text));
});

describe('the screen', () => {
  function desk() {
    let shown: (() => void) | undefined;
    const locks: { released: boolean; letGo: () => void }[] = [];
    const page = {
      visibilityState: 'visible' as DocumentVisibilityState,
      addEventListener: (_: string, call: () => void) => (shown = call),
    };
    const request = () => {
      let onrelease: (() => void) | undefined;
      const lock = { released: false, letGo: () => onrelease?.() };
      locks.push(lock);
      return Promise.resolve({
        release: () => ((lock.released = true), Promise.resolve()),
        addEventListener: (_: string, call: () => void) => (onrelease = call),
      } as unknown as WakeLockSentinel);
    };
    const wake = new ScreenWake({ wakeLock: { request }, page: page as unknown as Document });
    return { wake, locks, page, show: () => shown?.() };
  }

  test('is kept awake while wanted and let go after', async () => {
    const { wake, locks } = desk();
    await wake.want(true);
    await wake.want(true);
    expect([wake.held, locks.length]).toEqual([true, 1]);
    await wake.want(false);
    expect([wake.held, locks[0]!.released]).toEqual([false, true]);
  });

  test('is asked for again when the page is seen again, for the browser lets go while it is hidden', async () => {
    const { wake, locks, page, show } = desk();
    await wake.want(true);
    page.visibilityState = 'hidden';
    locks[0]!.letGo();
    show();
    await turn();
    expect([wake.held, locks.length]).toEqual([false, 1]);
    page.visibilityState = 'visible';
    show();
    await turn();
    expect([wake.held, locks.length]).toEqual([true, 2]);
  });

  test('is left alone by a browser that cannot or will not', async () => {
    const page = { visibilityState: 'visible', addEventListener: () => undefined } as unknown as Document;
    const refusing = { request: () => Promise.reject(new Error('battery')) };
    for (const wakeLock of [undefined, refusing]) {
      const wake = new ScreenWake({ wakeLock, page });
      await wake.want(true);
      expect(wake.held).toBe(false);
    }
  });
});

describe('the puller', () => {
  function desk(pull: () => Promise<void>) {
    let frame: (() => void) | null = null;
    let nowMs = 0;
    let silences = 0;
    const page = {
      isHidden: () => false,
      requestFrame: (call: () => void) => ((frame = call), 1),
      cancelFrame: () => (frame = null),
      nowMs: () => nowMs,
    };
    const puller = new Puller(pull, () => silences++, page);
    const tick = async (ms: number): Promise<void> => {
      nowMs += ms;
      const call = frame;
      frame = null;
      call?.();
      await turn();
    };
    return { puller, tick, silences: () => silences, planned: () => frame !== null };
  }

  test('asks once a frame and never twice at a time', async () => {
    let [asked, answer] = [0, () => {}];
    const { puller, tick } = desk(() => (asked++, new Promise<void>((resolve) => (answer = resolve))));
    puller.start();
    await tick(16);
    await tick(16);
    await tick(16);
    expect(asked).toBe(1);
    answer();
    await turn();
    await tick(16);
    expect(asked).toBe(2);
  });

  test('says that the other side is silent after five waking seconds, and stops', async () => {
    const { puller, tick, silences, planned } = desk(() => new Promise(() => {}));
    puller.start();
    await tick(16);
    for (let s = 0; s < 5; s++) await tick(1000);
    expect(silences()).toBe(0);
    await tick(1000);
    expect([silences(), planned()]).toEqual([1, false]);
  });

  test('does not take a page that slept for a silent worker', async () => {
    const { puller, tick, silences } = desk(() => new Promise(() => {}));
    puller.start();
    await tick(16);
    await tick(3_600_000); // counts as one second
    expect(silences()).toBe(0);
  });

  test('goes on after a call that failed', async () => {
    let asked = 0;
    const { puller, tick } = desk(() => (asked++, Promise.reject(new Error('once'))));
    puller.start();
    await tick(16);
    await tick(16);
    expect(asked).toBe(2);
  });
});

describe('the watch on an input', () => {
  const HEARD = { reason: null };
  function desk(dropped: () => number | null = () => null) {
    const told: string[] = [];
    const events = {
      stalled: (is: boolean) => told.push(`stalled ${is}`),
      repeats: (is: boolean) => is && told.push('repeats'),
      unheard: (s: number) => told.push(`unheard ${s}`),
      dropped: (n: number) => told.push(`dropped ${n}`),
    };
    return { told, watch: new InputWatch(events, dropped, 0) };
  }

  test('tells when time stands still for more than 2.5 s, and when it goes on', () => {
    const { told, watch } = desk();
    watch.see({ timeS: 1, unheardS: 0, report: HEARD }, 100);
    watch.see({ timeS: 1, unheardS: 0, report: HEARD }, 2600);
    expect(told).toEqual(['stalled false']);
    watch.see({ timeS: 1, unheardS: 0, report: HEARD }, 2601);
    watch.see({ timeS: 1.1, unheardS: 0, report: HEARD }, 2700);
    expect(told).toEqual(['stalled false', 'stalled true', 'stalled false']);
  });

  test('tells that the input repeats itself', () => {
    const { told, watch } = desk();
    watch.see({ timeS: 1, unheardS: 0, report: { reason: 'input repeats' } }, 100);
    expect(told).toContain('repeats');
  });

  test('tells each sleep once, by its own length', () => {
    const { told, watch } = desk();
    watch.see({ timeS: 1, unheardS: 12, report: HEARD }, 10);
    watch.see({ timeS: 2, unheardS: 12, report: HEARD }, 20);
    watch.see({ timeS: 3, unheardS: 15, report: HEARD }, 30);
    expect(told.filter((text) => text.startsWith('unheard'))).toEqual(['unheard 12', 'unheard 3']);
  });

  test('tells newly dropped frames about once a second, those of the start left out', () => {
    let frames = 441;
    const { told, watch } = desk(() => frames);
    watch.see({ timeS: 1, unheardS: 0, report: HEARD }, 1001);
    frames = 882;
    watch.see({ timeS: 2, unheardS: 0, report: HEARD }, 1500);
    watch.see({ timeS: 3, unheardS: 0, report: HEARD }, 2100);
    expect(told.filter((text) => text.startsWith('dropped'))).toEqual(['dropped 441']);
  });
});

describe('the picture of a strike', () => {
  test('is 4 ms of the signal with the strike after 1 ms, however the blocks fell', () => {
    const picture = new StrikePicture(48_000);
    const signal = Float32Array.from({ length: 200_000 }, (_, i) => (i === 190_000 ? 0.5 : 0));
    for (let at = 0; at < signal.length; at += 1024) picture.push(signal.subarray(at, at + 1024));
    const about = picture.about(190_000 / 48_000);
    expect([about.length, about.indexOf(0.5)]).toEqual([192, 48]);
  });

  test('is empty for a strike that is forgotten, not yet heard, or lay across lost sound', () => {
    const picture = new StrikePicture(48_000);
    picture.push(new Float32Array(48_000 * 4));
    expect(picture.about(0.5).length).toBe(0);
    expect(picture.about(4).length).toBe(0);
    picture.lose(4800);
    picture.push(new Float32Array(48_000));
    expect(picture.about(4.1).length).toBe(0);
    expect(picture.about(4.2).length).toBe(192);
  });
});

test('the latest problem is on top; the one before comes back when it is gone', () => {
  const problems = new Problems<'a' | 'b'>();
  problems.say('a', 'first');
  problems.tell('b', 'second');
  expect(problems.top?.text).toBe('second');
  problems.top?.wayOn?.act();
  expect(problems.top?.text).toBe('first');
  problems.clearAll();
  expect(problems.top).toBeNull();
});

describe('preferences', () => {
  const storage = (kept: string | null) => {
    const items = new Map(kept === null ? [] : [['clampline preferences', kept]]);
    return {
      items,
      getItem: (key: string) => items.get(key) ?? null,
      setItem: (k: string, v: string) => items.set(k, v),
    };
  };

  test('are kept and come back', () => {
    const box = storage(null);
    const first = new KeptPreferences(box);
    first.theme = 'night';
    first.padHand = 'left';
    first.soundSigns = false;
    first.keepSound = true;
    first.cautionsSeenAt = '2026-05-01T08:00:00.000Z';
    const { theme, padHand, soundSigns, keepSound, cautionsSeenAt } = new KeptPreferences(box);
    expect([theme, padHand, soundSigns, keepSound, cautionsSeenAt]).toEqual([
      'night',
      'left',
      false,
      true,
      '2026-05-01T08:00:00.000Z',
    ]);
  });

  test.each(['nonsense', '[]', 'null', '{"theme":"pink","padHand":3,"cautionsSeenAt":7}'])(
    'that are not ours (%s) give the usual ones',
    (kept) => {
      const { theme, padHand, soundSigns, keepSound, cautionsSeenAt } = new KeptPreferences(storage(kept));
      expect([theme, padHand, soundSigns, keepSound, cautionsSeenAt]).toEqual([
        'system',
        'right',
        true,
        false,
        null,
      ]);
    },
  );

  test('hold while the page is open where the browser keeps nothing', () => {
    const full = {
      getItem: () => null,
      setItem: () => {
        throw new DOMException('full', 'QuotaExceededError');
      },
    };
    for (const box of [null, full]) {
      const preferences = new KeptPreferences(box);
      preferences.theme = 'sun';
      expect(preferences.theme).toBe('sun');
    }
  });
});
