/** How much this browser keeps for the page, how much more it would, and whether it may clear it: the browser's own
 * answers. */

export interface Room {
  /** null where the browser does not say. */
  readonly usedBytes: number | null;
  readonly leftBytes: number | null;
  /** true: kept until the person removes it. false: the browser may clear it when it runs short of room. */
  readonly isKept: boolean;
}

export type StorageFacts = Pick<StorageManager, 'estimate' | 'persisted' | 'persist'>;

/** @param storage undefined: a browser, or an address, without it
 *  @returns null where nothing is told */
export async function lookForRoom(storage: StorageFacts | undefined): Promise<Room | null> {
  if (!storage) return null;
  const [estimate, isKept] = await Promise.all([
    storage.estimate().catch((): StorageEstimate => ({})),
    storage.persisted().catch(() => false),
  ]);
  const { usage, quota } = estimate;
  const left = usage === undefined || quota === undefined ? null : Math.max(0, quota - usage);
  return { usedBytes: usage ?? null, leftBytes: left, isKept };
}

/** Bytes as "850 kB", "12 MB", "4.1 GB": decimal units, as disks are sold. */
export function bytesText(bytes: number): string {
  const [unit, size] = bytes < 1e6 ? ['kB', 1e3] : bytes < 1e9 ? ['MB', 1e6] : ['GB', 1e9];
  const value = bytes / size;
  return `${value.toFixed(value < 10 && unit !== 'kB' ? 1 : 0)} ${unit}`;
}
