/** A desk on a browser store made anew, a made live source, locks shared between desks: what the tests of the job's
 * state have in common. */
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { fitCurve } from '../../core/fit';
import type { LiveState } from '../../web/state/contracts';
import { JobDesk, type JobDeskOptions } from '../../web/state/job.svelte';
import { closeDatabase } from '../../web/store/database';

const opened: JobDesk[] = [];

/** A new store, once the desks of the test before have written what they had to. */
export async function emptyStore(): Promise<void> {
  await Promise.all(opened.splice(0).map((desk) => desk.settled()));
  await closeDatabase();
  globalThis.indexedDB = new IDBFactory();
}

export interface MadeLive extends LiveState {
  rpm: number | null;
  source: LiveState['source'];
  trace: LiveState['trace'];
  latest: LiveState['latest'];
  /** What was asked, in words. */
  readonly asked: string[];
}

export function madeLive(): MadeLive {
  const asked: string[] = [];
  const note = async (what: string): Promise<void> => void asked.push(what);
  const none = new Float64Array();
  return {
    asked,
    source: null,
    phase: 'idle',
    problem: null,
    input: null,
    devices: [],
    latest: null,
    heard: null,
    listenCloser: () => note('closer'),
    rpm: null,
    rpmSd: null,
    trace: { timeS: none, rpm: none, rpmSd: none },
    channel: 0,
    practice: null,
    listDevices: () => note('list'),
    startLine: () => note('line'),
    startFile: () => note('file'),
    startPractice: () => note('practice'),
    stop: () => note('stop'),
    setChannel: () => undefined,
    setEngine: ({ cylinders }) => void asked.push(`engine of ${cylinders}`),
    keepFor: (id, sound) => note(`keep ${id === null ? 'nothing' : 'run'}${sound ? ' with sound' : ''}`),
  };
}

/** A trace of steady speed: rows every 40 ms up to `endS`. */
export function steadyTrace(rpm: number, endS: number): LiveState['trace'] {
  const count = Math.round(endS / 0.04);
  return {
    timeS: Float64Array.from({ length: count }, (_, i) => (i + 1) * 0.04),
    rpm: Float64Array.from({ length: count }, (_, i) => rpm + (i % 2 ? 2 : -2)),
    rpmSd: new Float64Array(count).fill(2),
  };
}

/** The locks of one browser: enough of the Web Locks API for tabs that ask for one or steal it.
 * @source Web Locks API, W3C: ifAvailable gives null where the lock is held; steal rejects the holder's request with
 * an AbortError (from memory) */
export function madeLocks(): Pick<LockManager, 'request'> {
  const held = new Map<string, (error: Error) => void>();
  const request = async (
    name: string,
    options: LockOptions,
    use: (lock: Lock | null) => unknown,
  ): Promise<unknown> => {
    if (held.has(name) && !options.steal) return use(null);
    held.get(name)?.(new DOMException('stolen', 'AbortError'));
    const stolen = new Promise<never>((_resolve, reject) => held.set(name, reject));
    const mine = held.get(name);
    try {
      return await Promise.race([use({ name, mode: 'exclusive' }), stolen]);
    } finally {
      if (held.get(name) === mine) held.delete(name);
    }
  };
  return { request: request as LockManager['request'] };
}

let made = 0;

/** A desk as after opening the page: started, its ids and clock made. */
export async function openDesk(options: Partial<JobDeskOptions> = {}): Promise<JobDesk> {
  const desk = new JobDesk({
    live: madeLive(),
    locks: undefined,
    later: (task) => task(),
    fitPoints: (points) => Promise.resolve(fitCurve(points)),
    newId: () => `id-${(made += 1)}`,
    retryMs: 5,
    ...options,
  });
  opened.push(desk);
  await desk.start();
  return desk;
}
