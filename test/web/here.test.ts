/** What the page says of this machine: room, and a newer page that waits for the end of every run. */
import { flushSync } from 'svelte';
import { expect, test } from 'vitest';
import { Here } from '../../web/offline/here.svelte';
import { KeptPage, type KeptPageEvents } from '../../web/offline/kept-page';
import { bytesText, lookForRoom } from '../../web/offline/room';

function made(options: { inRun?: () => boolean; otherRuns?: () => boolean } = {}) {
  const seen = { taken: 0, reloaded: 0 };
  let events!: KeptPageEvents;
  const here = new Here({
    storage: undefined,
    locks: {
      request: (async (_name: string, _options: unknown, act: (lock: Lock | null) => unknown) =>
        act(options.otherRuns?.() ? null : ({} as Lock))) as LockManager['request'],
    },
    inRun: options.inRun ?? (() => false),
    reload: () => seen.reloaded++,
    keptPage: (given) => {
      events = given;
      const page = new KeptPage(given);
      page.take = () => {
        seen.taken++;
        given.replaced();
      };
      return page;
    },
  });
  flushSync();
  return { here, events, seen };
}

test('nothing is said while there is no newer page', () => {
  expect(made().here.notice).toBeNull();
});

test('a newer page is said between runs only, and taken with one reload', async () => {
  let inRun = true;
  const { here, events, seen } = made({ inRun: () => inRun });
  events.newer();
  expect(here.notice).toBeNull();
  inRun = false;
  here.notice!.wayOn!.act();
  await expect.poll(() => seen).toEqual({ taken: 1, reloaded: 1 });
});

test('while another tab has a run under way the newer page is not taken', async () => {
  let otherRuns = true;
  const { here, events, seen } = made({ otherRuns: () => otherRuns });
  events.newer();
  here.notice!.wayOn!.act();
  await expect.poll(() => here.notice?.text).toMatch(/end the run in the other tab first/);
  expect(seen.taken).toBe(0);
  otherRuns = false;
  here.notice!.wayOn!.act();
  await expect.poll(() => seen.taken).toBe(1);
});

test('a page replaced by another tab does not load itself anew, but says so', () => {
  const { here, events, seen } = made();
  events.replaced();
  expect(here.notice?.text).toMatch(/in another tab; this tab has the old one/);
  expect(seen.reloaded).toBe(0);
});

test('without service workers the page says that it cannot be kept', async () => {
  const { here } = made();
  expect(here.offline).toBe('not yet');
  await here.keepPage(undefined);
  expect(here.offline).toBe('not possible');
});

test('room is what the browser says, and null where it says nothing', async () => {
  const storage = {
    estimate: async () => ({ usage: 1500, quota: 1_000_000 }),
    persisted: async () => true,
    persist: async () => true,
  };
  expect(await lookForRoom(storage)).toEqual({ usedBytes: 1500, leftBytes: 998_500, isKept: true });
  expect(await lookForRoom(undefined)).toBeNull();
  const refusing = { ...storage, estimate: () => Promise.reject(new Error('no')) };
  expect(await lookForRoom(refusing)).toEqual({ usedBytes: null, leftBytes: null, isKept: true });
});

test.each([
  [0, '0 kB'],
  [850_000, '850 kB'],
  [1_250_000, '1.3 MB'],
  [48_200_000, '48 MB'],
  [4_120_000_000, '4.1 GB'],
])('%d bytes read as %s', (bytes, text) => {
  expect(bytesText(bytes)).toBe(text);
});
