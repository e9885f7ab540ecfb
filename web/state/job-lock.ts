/** One tab at a time writes to a job: the browser's locks say which. Knows no job but its id. */

export interface HeldJob {
  leave(): void;
}

const UNLOCKED: HeldJob = { leave: () => undefined };

export interface HoldJobOptions {
  /** undefined: a browser without locks; then this tab is taken to be the only one. */
  readonly locks: Pick<LockManager, 'request'> | undefined;
  /** Also where another tab holds it, which then loses it. */
  readonly fromOthers?: boolean;
  /** Called once when another tab has taken the job over. */
  readonly onLost?: () => void;
}

/** Holds a job for this tab until it is left.
 * @returns null where another tab holds it */
export function holdJob(
  jobId: string,
  { locks, fromOthers, onLost }: HoldJobOptions,
): Promise<HeldJob | null> {
  if (!locks) return Promise.resolve(UNLOCKED);
  return new Promise((answer) => {
    let mine = false;
    const ended = locks.request(
      `clampline job ${jobId}`,
      fromOthers ? { steal: true } : { ifAvailable: true },
      (lock) => {
        if (!lock) return answer(null);
        mine = true;
        return new Promise<void>((resolve) => {
          const leave = (): void => {
            mine = false;
            resolve();
          };
          answer({ leave });
        });
      },
    );
    ended.catch(() => {
      answer(UNLOCKED); // locks are refused altogether: as in a browser without them
      if (mine) onLost?.();
    });
  });
}
