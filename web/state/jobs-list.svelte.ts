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

  /** Takes in what the store has; a job that it does not have yet, or has older, stays as it is here. */
  take(stored: readonly JobRecord[]): void {
    const here = this.#records.filter(
      (record) => !stored.some(({ id, order }) => id === record.id && order > record.order),
    );
    const others = stored.filter(({ id }) => !here.some((record) => record.id === id));
    this.#records = [...here, ...others].sort((a, b) => b.order - a.order);
  }

  put(record: JobRecord): void {
    this.#records = [record, ...this.#records.filter(({ id }) => id !== record.id)];
  }

  drop(id: string): void {
    this.#records = this.#records.filter((record) => record.id !== id);
  }
}
