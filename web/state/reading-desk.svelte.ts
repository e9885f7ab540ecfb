/** Readings of the open run: a moment pinned, its degrees taken, changed, deleted, taken back; and the step to hold. */
import type { Reading } from '../../core/job';
import type { RunRecord } from '../store/database';
import { readingsOf, type Op } from '../store/job-records';
import type { HoldView, PinnedMoment } from './contracts';
import type { DeskCore } from './desk-core.svelte';
import { HoldKeeper } from './hold.svelte';
import { PinKeeper } from './pin.svelte';
import { addReading, changeReading, removeReading, takeBack } from './reading-changes';
import type { RunDesk } from './run-desk.svelte';

export class ReadingDesk {
  readonly #core: DeskCore;
  readonly #runs: RunDesk;
  readonly #pin: PinKeeper;
  readonly #hold: HoldKeeper;

  constructor(core: DeskCore, runs: RunDesk) {
    this.#core = core;
    this.#runs = runs;
    this.#pin = new PinKeeper(core.live, core.now);
    this.#hold = new HoldKeeper(() => ({ live: core.live, run: runs.run, steps: core.job?.steps ?? null }));
  }

  get pinned(): PinnedMoment | null {
    return this.#pin.moment;
  }
  get hold(): HoldView {
    return this.#hold.view;
  }
  get canUndo(): boolean {
    return (this.#core.book?.undo.length ?? 0) > 0;
  }

  pin(typedRpm?: number): void {
    const problem = this.#pin.take(this.hold.stepRpm, typedRpm);
    if (problem) this.#core.problems.tell('act', problem);
    else this.#core.problems.clear('act');
  }

  unpin(): void {
    this.#pin.clear();
  }

  read(seenDeg: number, note: string): void {
    if (!this.#core.mayWrite()) return;
    const run = this.#core.record(this.#runs.openId);
    if (!run) return this.#core.problems.tell('act', 'Start a run first: a reading belongs to a run.');
    const reading = this.#pin.read(this.#core.newId(), seenDeg, note);
    if (!reading) return;
    this.#core.commit((book) => [...this.#heardBy(run, reading), ...addReading(book, run.id, reading)]);
    this.#hold.choose(null);
    this.#core.problems.clear('news');
  }

  /** What the crank sensor measures at this moment, as the step's reading. */
  async readSensor(): Promise<void> {
    const { meanNow } = await import('./sensor-now');
    if (!this.#core.mayWrite()) return;
    const run = this.#core.record(this.#runs.openId);
    if (!run) return this.#core.problems.tell('act', 'Start a run first: a reading belongs to a run.');
    const now = meanNow(this.#core.live);
    if (!now) return this.#core.problems.tell('act', 'The sensor measures no spark now: wait for some.');
    const problem = this.#pin.take(this.hold.stepRpm);
    if (problem) return this.#core.problems.tell('act', problem);
    const { meanDeg, scatterDeg, sparks } = now;
    const pinned = this.#pin.read(this.#core.newId(), meanDeg, '')!;
    const reading: Reading = { ...pinned, by: 'crank sensor', scatterDeg, sparks };
    this.#core.commit((book) => [...this.#heardBy(run, reading), ...addReading(book, run.id, reading)]);
    this.#hold.choose(null);
    this.#core.problems.clear('act');
    this.#core.problems.clear('news');
  }

  async takeSensor(): Promise<void> {
    const { binReading } = await import('../../core/sensor/spark-bins');
    if (!this.#core.mayWrite()) return;
    const run = this.#core.record(this.#runs.openId);
    const bins = this.#core.live.latest?.sensor?.bins ?? [];
    if (!run) return this.#core.problems.tell('act', 'Start a run first: a reading belongs to a run.');
    const readings = bins.map((bin) => binReading(bin, this.#core.newId(), run.head.startedAt));
    for (const old of readingsOf(this.#core.book!, run.id))
      if (old.reading.by === 'crank sensor') this.#core.commit((book) => removeReading(book, old.id));
    for (const reading of readings)
      this.#core.commit((book) => [...this.#heardBy(run, reading), ...addReading(book, run.id, reading)]);
  }

  change(id: string, patch: Partial<Reading>): void {
    const plain: Partial<Reading> = $state.snapshot(patch);
    this.#core.commit((book) => changeReading(book, id, plain));
  }

  remove(id: string): void {
    this.#core.commit((book) => removeReading(book, id));
  }

  undo(): void {
    this.#core.commit(takeBack);
  }

  chooseStep(rpm: number | null): void {
    this.#hold.choose(rpm);
  }

  /** Another run or another job: nothing is pinned, no step chosen. */
  clear(): void {
    this.#pin.clear();
    this.#hold.choose(null);
  }

  /** A run begun without sound has the source of the first reading that was heard. */
  #heardBy(run: RunRecord, reading: Reading): Op[] {
    const { source } = this.#core.live;
    if (run.head.source !== 'typed by hand' || reading.timeS === null || source === null) return [];
    return [{ put: 'runs', value: { ...run, head: { ...run.head, source } } }];
  }
}
