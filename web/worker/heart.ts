/** A thread's sign of life: a lock that it holds until it ends. The browser hands the lock on at once however the thread
 * died, so that the page need not wait for an answer that never comes. A thread that hangs still holds it. */

const BEATS = 'heart beats';

interface Beat {
  readonly [BEATS]: string;
}

/** The thread's side, to be called once. Where a browser has no locks nothing is said. */
export function beat(): void {
  if (!('locks' in navigator)) return;
  const name = `clampline thread ${crypto.randomUUID()}`;
  const held = navigator.locks.request(name, () => {
    postMessage({ [BEATS]: name } satisfies Beat);
    return new Promise<never>(() => undefined); // until the thread ends
  });
  held.catch(() => undefined); // locks are refused altogether: as where there are none
}

/** The page's side.
 * @param onEnd called when the thread has ended, closed by the page or not */
export function watchHeart(worker: Worker, onEnd: () => void): void {
  const look = ({ data }: MessageEvent<Partial<Beat> | null>): void => {
    const name = data?.[BEATS];
    if (typeof name !== 'string') return;
    worker.removeEventListener('message', look);
    navigator.locks.request(name, onEnd).catch(() => undefined);
  };
  worker.addEventListener('message', look);
}
