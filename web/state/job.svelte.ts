/** The job on the desk: what the views ask of it goes in here; its records, fit and files are kept by the parts beside
 * this file. Every change is seen at once and put in the store as it happens. */
import type { CurveFit } from '../../core/fit';
import type { Job, Reading, Run, SetUp } from '../../core/job';
import { runById, runOf, type JobBook, type Op } from '../store/job-records';
import { StoreWriter } from '../store/writer';
import type { HoldView, JobState, LiveState, PinnedMoment, Problem } from './contracts';
import { FitKeeper, type Later } from './fit-keeper.svelte';
import { HoldKeeper } from './hold.svelte';
import { JobFiles } from './job-files';
import { JobShelf } from './job-shelf';
import { JobsList } from './jobs-list.svelte';
import { OpenBook } from './open-book.svelte';
import { isoNow } from './iso-now';
import { PinKeeper } from './pin.svelte';
import { Problems } from './problems.svelte';
import { addReading, changeReading, removeReading, removeRun, takeBack } from './reading-changes';
import { closeRun, openRun, stillOpen, stillOpenWords } from './run-changes';

export interface JobDeskOptions {
  readonly live: LiveState;
  readonly locks: Pick<LockManager, 'request'> | undefined;
  /** Asks the browser not to throw the store away. */
  readonly askToKeep?: () => Promise<unknown>;
  readonly now?: () => string;
  readonly newId?: () => string;
  readonly later?: Later;
  readonly retryMs?: number;
}

type Patch<Method extends keyof JobState, At extends number> = JobState[Method] extends (
  ...args: infer Args
) => unknown
  ? Args[At]
  : never;

export class JobDesk implements JobState {
  #runId: string | null = $state(null);
  #shownId: string | null = $state(null);
  readonly #live: LiveState;
  readonly #now: () => string;
  readonly #newId: () => string;
  readonly #askToKeep: () => Promise<unknown>;
  readonly #problems = new Problems<'store' | 'other tab' | 'act' | 'news'>();
  readonly #list = new JobsList();
  readonly #writer: StoreWriter;
  readonly #open: OpenBook;
  readonly #shelf: JobShelf;
  readonly #files = new JobFiles((text) => this.#problems.tell('act', text));
  readonly #fits: FitKeeper;
  readonly #pin: PinKeeper;
  readonly #hold: HoldKeeper;

  constructor(options: JobDeskOptions) {
    const { live, locks, now = isoNow, newId = () => crypto.randomUUID() } = options;
    this.#live = live;
    this.#now = now;
    this.#newId = newId;
    this.#askToKeep = options.askToKeep ?? (async () => undefined);
    this.#fits = new FitKeeper(options.later);
    this.#pin = new PinKeeper(live, now);
    this.#hold = new HoldKeeper(() => ({ live, run: this.run, steps: this.job?.steps ?? null }));
    this.#writer = new StoreWriter({ retryMs: options.retryMs, onProblem: (text) => this.#storeSaid(text) });
    const clock = { now, nextOrder: this.#list.nextOrder };
    this.#open = new OpenBook(this.#writer, clock, (record) => this.#list.put(record));
    this.#shelf = new JobShelf({
      ...{ list: this.#list, writer: this.#writer, locks, now, newId },
      onLost: () => this.#lose(),
      onRefused: (text) => this.#problems.tell('act', text),
    });
  }

  get job(): Job | null {
    return this.#open.job;
  }
  get jobs(): JobState['jobs'] {
    return this.#list.entries;
  }
  get run(): Run | null {
    return this.#runById(this.#runId);
  }
  get shown(): Run | null {
    return this.#runById(this.#shownId) ?? this.run;
  }
  get pinned(): PinnedMoment | null {
    return this.#pin.moment;
  }
  get hold(): HoldView {
    return this.#hold.view;
  }
  get fit(): CurveFit | null {
    return this.#fits.fit;
  }
  get canUndo(): boolean {
    return (this.#open.book?.undo.length ?? 0) > 0;
  }
  get problem(): Problem | null {
    return this.#problems.top;
  }
  /** Changes that the store has not taken yet. */
  get unsaved(): number {
    return this.#writer.waiting;
  }
  /** Settles when all changes so far are in the store, or it has refused. */
  settled = (): Promise<void> => this.#writer.settled();

  /** Opens the job used last; a new one where there is none. To be called once. */
  async start(): Promise<void> {
    await this.#put(await this.#shelf.first());
  }

  async newJob(name: string): Promise<void> {
    await this.#leave();
    await this.#put(await this.#shelf.make(name));
  }

  async openJob(id: string): Promise<void> {
    if (id === this.job?.id) return;
    await this.#leave();
    const book = await this.#shelf.open(id);
    if (book) await this.#put(book);
  }

  async removeJob(id: string): Promise<void> {
    const isOpen = id === this.job?.id;
    if (isOpen) await this.#leave();
    const isGone = await this.#shelf.erase(id, isOpen);
    if (isGone && isOpen) await this.#put(await this.#shelf.first());
  }

  change(patch: Patch<'change', 0>): void {
    this.#changeHead($state.snapshot(patch) as typeof patch);
  }

  changeEngine(patch: Patch<'changeEngine', 0>): void {
    if (!this.job) return;
    this.#changeHead({ engine: { ...this.job.engine, ...($state.snapshot(patch) as typeof patch) } });
    this.#live.setEngine(this.job.engine);
  }

  addSetUp(setUp: Omit<SetUp, 'id'>): string {
    const id = this.#newId();
    this.#changeHead({ setUps: [...(this.job?.setUps ?? []), { ...$state.snapshot(setUp), id }] });
    return id;
  }

  changeSetUp(id: string, patch: Partial<Omit<SetUp, 'id'>>): void {
    const plain = $state.snapshot(patch);
    const setUps = (this.job?.setUps ?? []).map((one) => (one.id === id ? { ...one, ...plain, id } : one));
    this.#changeHead({ setUps });
  }

  async startRun(setUpId: string | null, keepSound: boolean): Promise<void> {
    if (!this.#open.book || !this.#mayWrite()) return;
    await this.endRun();
    void this.#askToKeep().catch(() => undefined);
    const id = this.#newId();
    const source = this.#live.source ?? 'typed by hand';
    this.#commit(openRun(this.#open.book, { id, setUpId, startedAt: this.#now(), source }, keepSound));
    this.#runId = this.#shownId = id;
    this.#hold.choose(null);
    this.#follow();
    await this.#live.keepFor(id, keepSound);
  }

  async endRun(): Promise<void> {
    if (!this.#open.book || this.#runId === null) return;
    this.#commit(closeRun(this.#open.book, this.#runId));
    this.#runId = null;
    this.#pin.clear();
    this.#problems.clear('news');
    this.#follow();
    await this.#live.keepFor(null, false);
  }

  changeRun(id: string, patch: Patch<'changeRun', 1>): void {
    const record = this.#open.book && runById(this.#open.book, id);
    if (!record) return;
    const head = { ...record.head, ...($state.snapshot(patch) as typeof patch), id };
    this.#commit([{ put: 'runs', value: { ...record, head } }]);
  }

  removeRun(id: string): void {
    if (!this.#open.book || !this.#mayWrite()) return;
    if (id === this.#runId) void this.endRun();
    this.#commit(removeRun(this.#open.book, id));
    if (id === this.#shownId) this.#shownId = this.job?.runs.at(-1)?.id ?? null;
    this.#follow();
  }

  show(runId: string): void {
    this.#shownId = runId;
    this.#follow();
  }

  pin(typedRpm?: number): void {
    const problem = this.#pin.take(this.hold.stepRpm, typedRpm);
    if (problem) this.#problems.tell('act', problem);
    else this.#problems.clear('act');
  }

  unpin(): void {
    this.#pin.clear();
  }

  read(seenDeg: number, note = ''): void {
    if (!this.#open.book || !this.#mayWrite()) return;
    const run = runById(this.#open.book, this.#runId);
    if (!run) return this.#problems.tell('act', 'Start a run first: a reading belongs to a run.');
    const reading = this.#pin.read(this.#newId(), seenDeg, note);
    if (!reading) return;
    const source = run.head.source === 'typed by hand' && reading.timeS !== null ? this.#live.source : null;
    const heard: Op[] = source ? [{ put: 'runs', value: { ...run, head: { ...run.head, source } } }] : [];
    this.#commit([...heard, ...addReading(this.#open.book, run.id, reading)]);
    this.#hold.choose(null);
    this.#problems.clear('news');
  }

  changeReading(id: string, patch: Patch<'changeReading', 1>): void {
    const plain: Partial<Reading> = $state.snapshot(patch);
    if (this.#open.book) this.#commit(changeReading(this.#open.book, id, plain));
  }

  removeReading(id: string): void {
    if (this.#open.book) this.#commit(removeReading(this.#open.book, id));
  }

  undo(): void {
    if (this.#open.book) this.#commit(takeBack(this.#open.book));
  }

  chooseStep(rpm: number | null): void {
    this.#hold.choose(rpm);
  }

  async saveJobFile(): Promise<void> {
    if (this.job) await this.#files.job(this.job);
  }

  async openJobFile(file: File): Promise<void> {
    this.#problems.clear('act');
    const read = await this.#files.open(file, this.#newId);
    if (!read) return;
    await this.#leave();
    const name = read.isCopy ? `${read.job.name} (copy)` : read.job.name;
    await this.#put(await this.#shelf.add({ ...read.job, name }, read.traces));
    if (read.isCopy)
      this.#problems.tell('act', `This job was here already: both are kept, the file’s as “${name}”.`);
  }

  exportReadings = (runId: string): Promise<void> =>
    this.#forRun(runId, (job, run) => this.#files.readings(job, run));
  exportTrace = (runId: string): Promise<void> =>
    this.#forRun(runId, (job, run) => this.#files.trace(job, run));
  exportSound = (runId: string): Promise<void> =>
    this.#forRun(runId, (job, run) => this.#files.sound(job, run));
  exportPlot = (runId: string, as: 'svg' | 'png'): Promise<void> =>
    this.#forRun(runId, (job, run) => this.#files.plot(job, run, as));
  hasSound = (runId: string): Promise<boolean> => this.#files.hasSound(runId);

  #runById(id: string | null): Run | null {
    const book = this.#open.book;
    const record = book && runById(book, id);
    return book && record ? runOf(book, record) : null;
  }

  async #forRun(runId: string, act: (job: Job, run: Run) => Promise<void>): Promise<void> {
    const run = this.#runById(runId);
    this.#problems.clear('act');
    if (this.job && run) await act(this.job, run);
  }

  /** Puts a job on the desk. A run that nobody ended goes on. */
  async #put(book: JobBook): Promise<void> {
    this.#open.open(book);
    this.#hold.choose(null);
    this.#live.setEngine(book.job.head.engine);
    if (this.#shelf.locked) this.#sayLocked();
    else this.#problems.clear('other tab');
    const open = this.#shelf.locked ? null : stillOpen(book);
    this.#runId = open?.id ?? null;
    this.#shownId = open?.id ?? this.job?.runs.at(-1)?.id ?? null;
    this.#follow();
    if (!open) return;
    const end = { label: 'End the run', act: () => void this.endRun() };
    this.#problems.say('news', stillOpenWords(open.head.startedAt, this.#now()), end);
    await this.#live.keepFor(open.id, open.keepSound);
  }

  async #leave(): Promise<void> {
    await this.endRun();
    await this.#writer.settled();
  }

  #changeHead(patch: Parameters<OpenBook['changeHead']>[0]): void {
    if (!this.#mayWrite()) return;
    this.#open.changeHead(patch);
    this.#follow();
  }

  #commit(ops: readonly Op[]): void {
    if (!this.#mayWrite()) return;
    this.#open.commit(ops);
    this.#follow();
  }

  #follow(): void {
    this.#fits.follow(this.shown);
  }

  #mayWrite(): boolean {
    if (this.#shelf.locked) this.#sayLocked();
    return !this.#shelf.locked;
  }

  #storeSaid(text: string | null): void {
    if (text === null) {
      this.#problems.clear('store');
      void this.#shelf.relist().catch(() => undefined); // the next refusal is said by itself
      return;
    }
    const again = { label: 'Save job file', act: () => void this.saveJobFile() };
    this.#problems.say('store', text, again);
  }

  /** Another tab has taken the job over: here it can only be looked at. */
  #lose(): void {
    this.#shelf.lose();
    if (this.#runId !== null) void this.#live.keepFor(null, false);
    this.#runId = null;
    this.#pin.clear();
    this.#sayLocked();
  }

  #sayLocked(): void {
    const id = this.job?.id;
    if (id === undefined) return;
    const seize = async (): Promise<void> => {
      const book = await this.#shelf.open(id, true);
      if (book) await this.#put(book);
    };
    const text = 'This job is open in another tab; here it can only be looked at.';
    this.#problems.say('other tab', text, { label: 'Use it here', act: () => void seize() });
  }
}
