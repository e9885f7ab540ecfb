/** The job on the desk, as the views see it: its runs, readings, fit and files, each kept by a part beside this file.
 * Every change is seen at once and put in the store as it happens. */
import type { Later } from '../after-frame';
import type { CurveFit } from '../../core/fit';
import type { Job, Run, SetUp } from '../../core/job';
import type { JobBook } from '../store/job-records';
import { hasSound } from '../store/trace-store';
import type { HoldView, JobState, PinnedMoment, Problem, SoundPiece, TraceView } from './contracts';
import { DeskCore, type DeskCoreOptions } from './desk-core.svelte';
import { LongTask } from './long-task.svelte';
import { FitKeeper, type FitPoints } from './fit-keeper.svelte';
import type { JobFiles } from './job-files';
import { ReadingDesk } from './reading-desk.svelte';
import { RunDesk } from './run-desk.svelte';
import { Turns } from './turns';

export interface JobDeskOptions extends DeskCoreOptions {
  /** Asks the browser not to throw the store away. */
  readonly askToKeep?: () => Promise<unknown>;
  /** What was heard so far is in the store when it settles. */
  readonly putAway?: () => Promise<void>;
  readonly later?: Later;
  readonly fitPoints?: FitPoints;
}

/** The arguments of a call, as the contract has them. */
type Asked<Method extends 'change' | 'changeEngine' | 'changeRun' | 'changeReading' | 'soundBetween'> =
  Parameters<JobState[Method]>;

export class JobDesk implements JobState {
  readonly #turns = new Turns();
  readonly #askToKeep: () => Promise<unknown>;
  readonly #putAway: () => Promise<void>;
  #working = $state.raw<LongTask | null>(null);
  readonly #core: DeskCore;
  readonly #runs: RunDesk;
  readonly #readings: ReadingDesk;
  readonly #fits: FitKeeper;
  #saved = $state.raw<{ readonly jobId: string; readonly at: string } | null>(null);

  constructor(options: JobDeskOptions) {
    this.#askToKeep = options.askToKeep ?? (async () => undefined);
    this.#putAway = options.putAway ?? (async () => undefined);
    this.#fits = new FitKeeper(options.later, options.fitPoints);
    this.#core = new DeskCore(options, {
      changed: () => this.#follow(),
      lost: () => this.#lose(),
      saveJobFile: () => void this.saveJobFile(),
      useHere: () => void this.#turns.take(() => this.#useHere()),
    });
    this.#runs = new RunDesk(this.#core, (isOpenOther) => {
      if (isOpenOther) this.#readings.clear();
      this.#follow();
    });
    this.#readings = new ReadingDesk(this.#core, this.#runs);
  }

  get job(): Job | null {
    return this.#core.job;
  }
  get jobs(): JobState['jobs'] {
    return this.#core.list.entries;
  }
  get run(): Run | null {
    return this.#runs.run;
  }
  get shown(): Run | null {
    return this.#runs.shown;
  }
  get pinned(): PinnedMoment | null {
    return this.#readings.pinned;
  }
  get hold(): HoldView {
    return this.#readings.hold;
  }
  get fit(): CurveFit | null {
    return this.#fits.fit;
  }
  get canUndo(): boolean {
    return this.#readings.canUndo;
  }
  get problem(): Problem | null {
    return this.#core.problems.top;
  }
  /** Changes that the store has not taken yet. */
  get unsaved(): number {
    return this.#core.writer.waiting;
  }
  /** Settles when all changes so far are in the store, or it has refused. */
  settled = (): Promise<void> => this.#core.writer.settled();

  /** Opens the job used last; a new one where there is none. To be called once. */
  start = (): Promise<void> =>
    this.#turns.take(async () => {
      await this.#core.openJournal();
      this.#put(await this.#core.shelf.first());
      this.#core.sayBroughtBack();
    });

  newJob = (name: string): Promise<void> =>
    this.#turns.take(async () => {
      await this.#leave();
      this.#put(await this.#core.shelf.make(name));
    });

  openJob = (id: string): Promise<void> =>
    this.#turns.take(async () => {
      if (id === this.job?.id) return;
      await this.#leave();
      const book = await this.#core.shelf.open(id);
      if (book) this.#put(book);
    });

  removeJob = (id: string): Promise<void> =>
    this.#turns.take(async () => {
      const isOpen = id === this.job?.id;
      if (isOpen) await this.#leave();
      const isGone = await this.#core.shelf.erase(id, isOpen);
      if (isGone && isOpen) this.#put(await this.#core.shelf.first());
    });

  change(patch: Asked<'change'>[0]): void {
    this.#core.changeHead($state.snapshot(patch) as typeof patch);
  }

  changeEngine(patch: Asked<'changeEngine'>[0]): void {
    if (!this.job) return;
    const plain = $state.snapshot(patch) as typeof patch;
    this.#core.changeHead({ engine: { ...this.job.engine, ...plain } });
    this.#core.live.setEngine(this.job.engine);
  }

  addSetUp(setUp: Omit<SetUp, 'id'>): string {
    const id = this.#core.newId();
    this.#core.changeHead({ setUps: [...(this.job?.setUps ?? []), { ...$state.snapshot(setUp), id }] });
    return id;
  }

  changeSetUp(id: string, patch: Partial<Omit<SetUp, 'id'>>): void {
    const plain = $state.snapshot(patch);
    const setUps = (this.job?.setUps ?? []).map((one) => (one.id === id ? { ...one, ...plain, id } : one));
    this.#core.changeHead({ setUps });
  }

  startRun = (setUpId: string | null, keepSound: boolean): Promise<void> => {
    void this.#askToKeep().catch(() => undefined);
    return this.#turns.take(() => this.#runs.start(setUpId, keepSound));
  };
  endRun = (): Promise<void> => this.#turns.take(() => this.#runs.end());
  changeRun = (...asked: Asked<'changeRun'>): void => this.#runs.change(...asked);
  removeRun = (id: string): void => this.#runs.remove(id);
  show = (runId: string): void => this.#runs.show(runId);

  pin = (typedRpm?: number): void => this.#readings.pin(typedRpm);
  unpin = (): void => this.#readings.unpin();
  read = (seenDeg: number, note = ''): void => this.#readings.read(seenDeg, note);
  readSensor = (): void => void this.#readings.readSensor();
  takeSensorReadings = (): void => void this.#readings.takeSensor();
  changeReading = (...asked: Asked<'changeReading'>): void => this.#readings.change(...asked);
  removeReading = (id: string): void => this.#readings.remove(id);
  undo = (): void => this.#readings.undo();
  chooseStep = (rpm: number | null): void => this.#readings.chooseStep(rpm);

  get savedAt(): string | null {
    return this.#saved?.jobId === this.job?.id ? (this.#saved?.at ?? null) : null;
  }
  async saveJobFile(): Promise<void> {
    const { job } = this;
    if (this.run) await this.#putAway();
    const isSaved = job && (await this.#withFiles((files) => files.job(job)));
    if (isSaved) this.#saved = { jobId: job.id, at: this.#core.now() };
  }

  get working(): LongTask | null {
    return this.#working;
  }
  saveAllJobs = (): Promise<void> =>
    this.#atLength('Saving all jobs', async (files, task) => {
      await this.#core.writer.settled();
      await files.backup(this.#core.now(), task);
    });
  bringBackJobs = (file: File): Promise<void> =>
    this.#atLength('Bringing jobs back', async (files, task) => {
      const { now, newId, shelf } = this.#core;
      if (await files.bringBack(file, { now, newId }, task)) await shelf.relist();
    });

  openJobFile = (file: File): Promise<void> => this.#turns.take(() => this.#openFile(file));

  exportReadings = (runId: string): Promise<void> =>
    this.#forRun(runId, (files, job, run) => files.readings(job, run));
  exportTrace = (runId: string): Promise<void> =>
    this.#forRunAtLength(runId, 'Saving the trace', (files, ...given) => files.trace(...given));
  exportSound = (runId: string): Promise<void> =>
    this.#forRunAtLength(runId, 'Saving the sound', (files, ...given) => files.sound(...given));
  exportPlot = (runId: string, as: 'svg' | 'png'): Promise<void> =>
    this.#forRunAtLength(runId, 'Drawing the plot', (files, job, run, task) =>
      files.plot(job, run, as, task),
    );
  hasSound = (runId: string): Promise<boolean> => hasSound(runId).catch(() => false);
  traceOf = async (runId: string): Promise<TraceView> => (await import('../replay/stored')).readTrace(runId);
  soundBetween = async (...asked: Asked<'soundBetween'>): Promise<SoundPiece | null> =>
    (await import('../replay/stored')).soundBetween(...asked);

  /** One piece of long work at a time: it is shown, and can be stopped. */
  async #atLength(what: string, act: (files: JobFiles, task: LongTask) => Promise<void>): Promise<void> {
    const { problems } = this.#core;
    problems.clear('act');
    if (this.#working) return problems.tell('act', 'One file at a time: wait for the other, or stop it.');
    const task = (this.#working = new LongTask(what));
    if (this.run) await this.#putAway();
    await this.#withFiles((files) => act(files, task));
    task.over();
    this.#working = null;
    if (task.isStopped && !problems.has('act')) problems.tell('act', 'Stopped: no file was written.');
  }

  #forRunAtLength(
    runId: string,
    what: string,
    act: (files: JobFiles, job: Job, run: Run, task: LongTask) => Promise<void>,
  ): Promise<void> {
    return this.#atLength(what, async (files, task) => {
      const [run, { job }] = [this.#core.run(runId), this];
      if (job && run) await act(files, job, run, task);
    });
  }

  async #forRun(runId: string, act: (files: JobFiles, job: Job, run: Run) => Promise<void>): Promise<void> {
    const [run, { job }] = [this.#core.run(runId), this];
    this.#core.problems.clear('act');
    if (!job || !run) return;
    if (run.id === this.run?.id) await this.#putAway();
    await this.#withFiles((files) => act(files, job, run));
  }

  /** Reading and writing files is fetched when it is first wanted: most visits save nothing. */
  async #withFiles<T>(act: (files: JobFiles) => Promise<T>): Promise<T | null> {
    const { problems } = this.#core;
    const files = await import('./job-files').catch(() => null);
    if (files) return act(new files.JobFiles((text) => problems.tell('act', text)));
    problems.tell('act', 'The part of this page that reads and writes files could not be loaded. Try again.');
    return null;
  }

  async #openFile(file: File): Promise<void> {
    const { problems, shelf, newId } = this.#core;
    problems.clear('act');
    const read = await this.#withFiles((files) => files.open(file, newId));
    if (!read) return;
    await this.#leave();
    const name = read.isCopy ? `${read.job.name} (copy)` : read.job.name;
    this.#put(await shelf.add({ ...read.job, name }, read.traces));
    if (read.isCopy)
      problems.tell('act', `This job was here already: both are kept, the file’s as “${name}”.`);
  }

  /** Puts a job on the desk. */
  #put(book: JobBook): void {
    this.#core.show(book);
    this.#core.live.setEngine(book.job.head.engine);
    if (this.#core.shelf.locked) this.#core.sayLocked();
    else this.#core.problems.clear('other tab');
    this.#runs.take(book);
  }

  async #leave(): Promise<void> {
    await this.#runs.end();
    await this.#core.writer.settled();
  }

  #follow(): void {
    this.#fits.follow(this.shown);
  }

  #lose(): void {
    this.#core.shelf.lose();
    void this.#runs.leave();
    this.#core.sayLocked();
  }

  /** Takes the job from the tab that has it, as it stands in the store. */
  async #useHere(): Promise<void> {
    const book = this.job && (await this.#core.shelf.open(this.job.id, true));
    if (book) this.#put(book);
  }
}
