/** The job's runs: which one readings go to, which one is on show; begun, ended, changed, taken away. */
import type { Run } from '../../core/job';
import type { JobBook } from '../store/job-records';
import type { JobState } from './contracts';
import type { DeskCore } from './desk-core.svelte';
import { removeRun } from './reading-changes';
import { closeRun, openRun, stillOpen, stillOpenWords } from './run-changes';

const ANSWER_MS = 3000;

type RunPatch = Parameters<JobState['changeRun']>[1];

export class RunDesk {
  #openId: string | null = $state(null);
  #shownId: string | null = $state(null);
  readonly #core: DeskCore;
  readonly #changed: (isOpenOther: boolean) => void;

  /** @param changed called when another run is open or on show */
  constructor(core: DeskCore, changed: (isOpenOther: boolean) => void) {
    this.#core = core;
    this.#changed = changed;
  }

  get run(): Run | null {
    return this.#core.run(this.#openId);
  }
  get shown(): Run | null {
    return this.#core.run(this.#shownId) ?? this.run;
  }
  get openId(): string | null {
    return this.#openId;
  }

  async start(setUpId: string | null, keepSound: boolean): Promise<void> {
    const { live } = this.#core;
    if (!this.#core.mayWrite()) return;
    await this.end();
    const facts = {
      id: this.#core.newId(),
      setUpId,
      startedAt: this.#core.now(),
      source: live.source ?? 'typed by hand',
    } as const;
    if (!this.#core.commit((book) => openRun(book, facts, keepSound))) return;
    this.#choose(facts.id, facts.id);
    await this.#keepFor(facts.id, keepSound);
  }

  async end(): Promise<void> {
    const id = this.#openId;
    if (id === null) return;
    this.#core.commit((book) => closeRun(book, id));
    await this.leave();
  }

  /** No reading goes to the open run any more; it stays as it is in the store. */
  async leave(): Promise<void> {
    if (this.#openId === null) return;
    this.#choose(null, this.#shownId);
    this.#core.problems.clear('news');
    await this.#keepFor(null, false);
  }

  change(id: string, patch: RunPatch): void {
    const record = this.#core.record(id);
    if (!record) return;
    const head = { ...record.head, ...($state.snapshot(patch) as RunPatch), id };
    this.#core.commit(() => [{ put: 'runs', value: { ...record, head } }]);
  }

  remove(id: string): void {
    if (!this.#core.mayWrite()) return;
    if (id === this.#openId) void this.end();
    this.#core.commit((book) => removeRun(book, id));
    if (id === this.#shownId) this.#choose(this.#openId, this.#core.job?.runs.at(-1)?.id ?? null);
  }

  show(id: string): void {
    this.#choose(this.#openId, id);
  }

  /** A job has come on the desk: a run of it that nobody ended goes on. Its trace comes as soon as it is read. */
  take(book: JobBook): void {
    const { problems, shelf } = this.#core;
    const open = shelf.locked ? null : stillOpen(book);
    this.#choose(open?.id ?? null, open?.id ?? this.#core.job?.runs.at(-1)?.id ?? null);
    if (!open) return;
    const end = { label: 'End the run', act: () => void this.end() };
    problems.say('news', stillOpenWords(open.head.startedAt, this.#core.now()), end);
    void this.#keepFor(open.id, open.keepSound);
  }

  /** An analysis that has died never answers: the job goes on without it. */
  async #keepFor(id: string | null, keepSound: boolean): Promise<void> {
    const kept = this.#core.live.keepFor(id, keepSound).catch(() => undefined);
    await Promise.race([kept, new Promise((resolve) => setTimeout(resolve, ANSWER_MS))]);
  }

  #choose(openId: string | null, shownId: string | null): void {
    const isOpenOther = openId !== this.#openId;
    this.#openId = openId;
    this.#shownId = shownId;
    this.#changed(isOpenOther);
  }
}
