/** A made AppState that keeps to the contracts and changes as the views ask, but hears and stores nothing. */
import type {
  AppState,
  HereState,
  HoldView,
  JobState,
  LiveState,
  PracticeControls,
  Preferences,
  TraceView,
} from '../../../web/state/contracts';
import { fitCurve } from '../../../core/fit';
import type { Job, Run } from '../../../core/job';
import type { Latest } from '../../../web/worker/analysis-api';
import { BY_LIGHT, NEW_ENGINE } from '../../../core/new-job';
import { goodStrike } from '../../../web/views/sound/good-strike';
import { latestOf, type Scene } from './made-sound';
import { EARLIER, JOB, RUN } from './scenario';

class FakePractice implements PracticeControls {
  throttle = $state(0.2);
  housingDeg = $state(10);
  springsId = $state('medium');
  stopId = $state('24');
  markDeg: number | null = $state(17);
  readonly springChoices = [
    { id: 'light', label: 'Light pair' },
    { id: 'medium', label: 'Medium pair' },
    { id: 'heavy', label: 'Heavy pair' },
  ];
  readonly stopChoices = [
    { id: '20', label: '20°' },
    { id: '24', label: '24°' },
  ];
  setThrottle(share: number): void {
    this.throttle = share;
  }
  holdSpeed(): void {
    this.markDeg = 17.5;
  }
  setHousing(deg: number): void {
    this.housingDeg = deg;
  }
  fit(springsId: string, stopId: string): void {
    [this.springsId, this.stopId] = [springsId, stopId];
  }
}

class FakeLive implements LiveState {
  source: LiveState['source'] = $state(null);
  phase: LiveState['phase'] = $state('idle');
  problem: LiveState['problem'] = $state.raw(null);
  input: LiveState['input'] = $state.raw(null);
  devices: LiveState['devices'] = $state.raw([]);
  latest: Latest | null = $state.raw(null);
  channel = $state(0);
  practice: PracticeControls | null = $state.raw(null);
  readonly trace = {
    timeS: Float64Array.from(RUN.trace!.timeS),
    rpm: Float64Array.from(RUN.trace!.rpm, (v) => v ?? NaN),
    rpmSd: Float64Array.from(RUN.trace!.rpmSd, (v) => v ?? NaN),
  };

  constructor(scene: Scene) {
    this.show(scene);
  }

  get rpm(): number | null {
    return this.latest?.rpm ?? null;
  }
  get heard(): LiveState['heard'] {
    if (this.latest?.report.state !== 'following') return null;
    const { strike, figures } = goodStrike();
    return {
      strike,
      figures: { ...figures, ...{ neighbourShare: 0.42, missed: 3, mostMissed: 1, height: 0.38 } },
    };
  }
  get rpmSd(): number | null {
    return this.latest?.rpmSd ?? null;
  }

  private show(scene: Scene): void {
    this.latest = latestOf(scene);
    if (scene === 'refused')
      this.problem = {
        text: 'The browser may not listen: this page was refused the sound input.',
        wayOn: { label: 'Ask again', act: () => (this.problem = null) },
      };
    if (scene === 'lost')
      this.problem = {
        text: 'The sound input gives the same few milliseconds over and over: its driver hangs. What was heard is kept. Unplug it and plug it in again, then listen again.',
        wayOn: { label: 'Listen again', act: () => this.show('following') },
      };
    if (!this.latest) return;
    this.phase = 'running';
    this.source =
      scene === 'recording' ? 'recording' : scene === 'practice' ? 'practice engine' : 'line input';
    this.practice = scene === 'practice' ? new FakePractice() : null;
    if (this.source !== 'line input') return;
    this.devices = [
      { id: 'a', label: 'USB line input' },
      { id: 'b', label: 'Built-in microphone' },
    ];
    this.input = {
      label: 'USB line input',
      sampleRateHz: 48_000,
      channelCount: 2,
      processingOn: scene === 'lost' ? ['automatic gain', 'noise reduction'] : [],
    };
  }

  async listDevices(): Promise<void> {
    this.devices = [{ id: 'a', label: 'USB line input' }];
  }
  async listenCloser(): Promise<void> {}
  async startLine(): Promise<void> {
    this.show('following');
  }
  async startFile(): Promise<void> {
    this.show('recording');
  }
  async startPractice(): Promise<void> {
    this.show('practice');
  }
  async stop(): Promise<void> {
    this.phase = 'ended';
  }
  setChannel(channel: number): void {
    this.channel = channel;
  }
  setEngine(): void {
    this.problem = null;
  }
  async keepFor(): Promise<void> {
    this.problem = null;
  }
}

let made = 0;
const newId = (): string => `made-${(made += 1)}`;

class FakeJob implements JobState {
  job: Job | null = $state.raw(null);
  jobs: JobState['jobs'] = $state.raw([]);
  run: Run | null = $state.raw(null);
  shownId = $state<string | null>(null);
  pinned: JobState['pinned'] = $state.raw(null);
  problem: JobState['problem'] = $state.raw(null);
  hold: HoldView = $state.raw({
    stepRpm: 1400,
    steady: true,
    offRpm: 4,
    heldS: 2.4,
    stepsDone: 4,
    stepsAll: 14,
  });
  readonly fit = $derived.by(
    () =>
      this.shown &&
      fitCurve(
        this.shown.readings.map((one) => ({
          ...one,
          advanceDeg: one.seenDeg - this.shown!.corrections.tapeZeroErrorDeg,
        })),
      ),
  );
  readonly canUndo = true;
  /** What was asked of the store, for tests. */
  readonly asked: string[] = [];

  constructor(scene: Scene) {
    if (scene === 'empty') {
      this.job = {
        ...JOB,
        name: 'New job',
        target: null,
        tdcProofs: [],
        runs: [],
        setUps: [],
        notes: '',
        engine: NEW_ENGINE,
      };
      this.jobs = [{ id: 'job-1', name: 'New job', changedAt: '2026-10-14T17:44:00Z' }];
      return;
    }
    const crankSensor = scene === 'sensor' ? { channel: 2, angleDeg: 60, delayUs: 40 } : null;
    this.job = { ...JOB, engine: { ...JOB.engine, crankSensor } };
    this.run = RUN;
    this.shownId = RUN.id;
    this.jobs = [
      { id: 'job-1', name: JOB.name, changedAt: '2026-10-14T17:44:00Z' },
      { id: 'job-2', name: 'Two-stroke single', changedAt: '2026-09-30T10:12:00Z' },
    ];
  }

  get shown(): Run | null {
    return this.job?.runs.find(({ id }) => id === this.shownId) ?? null;
  }
  private put(patch: Partial<Job>): void {
    if (this.job) this.job = { ...this.job, ...patch };
  }
  private putRun(id: string, patch: Partial<Run>): void {
    this.put({ runs: (this.job?.runs ?? []).map((run) => (run.id === id ? { ...run, ...patch } : run)) });
    if (this.run?.id === id) this.run = { ...this.run, ...patch };
  }
  private async note(what: string): Promise<void> {
    this.asked.push(what);
  }

  async newJob(name: string): Promise<void> {
    this.jobs = [{ id: newId(), name, changedAt: '2026-10-15T08:00:00Z' }, ...this.jobs];
  }
  openJob = (id: string): Promise<void> => this.note(`open ${id}`);
  async removeJob(id: string): Promise<void> {
    this.jobs = this.jobs.filter((job) => job.id !== id);
  }
  change(patch: Partial<Job>): void {
    this.put(patch);
  }
  changeEngine(patch: Partial<Job['engine']>): void {
    if (this.job) this.put({ engine: { ...this.job.engine, ...patch } });
  }
  addSetUp(setUp: Omit<Job['setUps'][number], 'id'>): string {
    const id = newId();
    this.put({ setUps: [...(this.job?.setUps ?? []), { id, ...setUp }] });
    return id;
  }
  changeSetUp(id: string, patch: Partial<Job['setUps'][number]>): void {
    this.put({ setUps: (this.job?.setUps ?? []).map((one) => (one.id === id ? { ...one, ...patch } : one)) });
  }
  async startRun(): Promise<void> {
    this.run = RUN;
  }
  async endRun(): Promise<void> {
    this.run = null;
  }
  changeRun(id: string, patch: Partial<Run>): void {
    this.putRun(id, patch);
  }
  removeRun(id: string): void {
    this.put({ runs: (this.job?.runs ?? []).filter((run) => run.id !== id) });
  }
  show(runId: string): void {
    this.shownId = runId;
  }
  pin(typedRpm?: number): void {
    this.pinned = {
      at: '2026-10-14T17:30:00Z',
      timeS: 83,
      rpm: typedRpm ?? 1404,
      rpmSd: typedRpm ? null : 6.2,
      steady: typedRpm ? null : true,
    };
  }
  unpin(): void {
    this.pinned = null;
  }
  read(seenDeg: number, note = ''): void {
    if (!this.pinned || !this.run) return;
    const { at, timeS, rpm, rpmSd, steady } = this.pinned;
    const { stepRpm } = this.hold;
    const reading = { id: newId(), at, timeS, rpm, rpmSd, steady, seenDeg, note, stepRpm, ...BY_LIGHT };
    this.putRun(this.run.id, { readings: [...this.run.readings, reading] });
    this.pinned = null;
  }
  readSensor(): void {
    this.pin();
    this.read(16.8);
  }
  takeSensorReadings(): void {
    void this.note('sensor readings');
  }
  changeReading(id: string, patch: Partial<Run['readings'][number]>): void {
    if (!this.run) return;
    this.putRun(this.run.id, {
      readings: this.run.readings.map((one) => (one.id === id ? { ...one, ...patch } : one)),
    });
  }
  removeReading(id: string): void {
    if (this.run) this.putRun(this.run.id, { readings: this.run.readings.filter((one) => one.id !== id) });
  }
  undo(): void {
    if (this.run) this.putRun(this.run.id, { readings: this.run.readings.slice(0, -1) });
  }
  chooseStep(rpm: number | null): void {
    this.hold = { ...this.hold, stepRpm: rpm };
  }
  saveJobFile = (): Promise<void> => this.note('save file');
  readonly savedAt = null;
  openJobFile = (file: File): Promise<void> => this.note(`open file ${file.name}`);
  saveAllJobs = (): Promise<void> => this.note('save all');
  bringBackJobs = (file: File): Promise<void> => this.note(`bring back ${file.name}`);
  readonly working = null;
  exportReadings = (id: string): Promise<void> => this.note(`readings ${id}`);
  exportTrace = (id: string): Promise<void> => this.note(`trace ${id}`);
  exportSound = (id: string): Promise<void> => this.note(`sound ${id}`);
  exportPlot = (id: string, as: string): Promise<void> => this.note(`${as} ${id}`);
  hasSound = async (id: string): Promise<boolean> => id !== EARLIER.id;
  traceOf = async (id: string): Promise<TraceView> => {
    const columns = this.job?.runs.find((run) => run.id === id)?.trace;
    const column = (values: readonly (number | null)[] = []): Float64Array =>
      Float64Array.from(values, (value) => value ?? NaN);
    return { timeS: column(columns?.timeS), rpm: column(columns?.rpm), rpmSd: column(columns?.rpmSd) };
  };
  soundBetween = async (): Promise<null> => null;
}

class FakePreferences implements Preferences {
  theme: Preferences['theme'] = $state('system');
  padHand: Preferences['padHand'] = $state('right');
  soundSigns = $state(true);
  keepSound = $state(false);
  buzzSigns = $state(true);
  cautionsSeenAt: string | null = $state(null);
  guide: Preferences['guide'] = $state.raw(null);
}

const HERE: HereState = {
  offline: 'ready',
  room: { usedBytes: 48_200_000, leftBytes: 4_120_000_000, isKept: false },
  notice: null,
  look: () => Promise.resolve(),
  askToKeep: () => Promise.resolve(),
};

/** A made state that shows one scene. */
export const fakeApp = (scene: Scene): AppState => ({
  live: new FakeLive(scene),
  job: new FakeJob(scene),
  preferences: new FakePreferences(),
  here: HERE,
});
