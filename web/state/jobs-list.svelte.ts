/** All jobs in the store, by name: the one changed last first. */
import type { JobRecord } from '../store/database';

export interface JobEntry {
  readonly id: string;
  readonly name: string;
  readonly changedAt: string;
}

export class JobsList {
  #records: readonly JobRecord[] = $state.raw([]);
  readonly entries: readonly JobEntry[] = $derived(
    this.#records.map(({ id, head, changedAt }) => ({ id, name: head.name, changedAt })),
  );

  /** Goes up at each call, over all jobs known: what came last, whatever the clock says. */
  nextOrder = (): number => this.#records.reduce((highest, { order }) => Math.max(highest, order), 0) + 1;

  get last(): JobRecord | null {
    return this.#records[0] ?? null;
  }

  has(id: string): boolean {
    return this.#records.some((record) => record.id === id);
  }

  /** @param records the one changed last first */
  replace(records: readonly JobRecord[]): void {
    this.#records = records;
  }

  put(record: JobRecord): void {
    this.#records = [record, ...this.#records.filter(({ id }) => id !== record.id)];
  }

  drop(id: string): void {
    this.#records = this.#records.filter((record) => record.id !== id);
  }
}
