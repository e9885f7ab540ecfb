/** Live results for the views: opens and switches sources, pulls what the analysis knows once a frame, keeps the page's
 * trace, and says in a sentence what stands in the way. No sample is seen here. */
import { crashText, unpluggedText } from '../audio/input-problems';
import type { InputEvent } from '../audio/line-input';
import type { HeardSignal } from '../../core/decode-heard';
import { ScreenWake } from '../audio/wake-lock';
import { readTrace, traceEndS } from '../store/trace-store';
import type { AnalysisEngine, Latest } from '../worker/analysis-api';
import { AnalysisLink } from './analysis-link';
import { answered } from './answered';
import type { InputFacts, LiveState, PracticeControls, Problem, SourceKind, TraceView } from './contracts';
import { Crashes } from './crashes';
import { HeardNow } from './heard-now.svelte';
import { InputDevices } from './input-devices.svelte';
import { InputWatch } from './input-watch';
import { PageTrace } from './page-trace';
import { SourceProblems } from './source-problems';
import type { Source } from './sources';
import { sameEngine, sameSound } from './same-engine';
import { isStale } from './stale-speed';

export class Live implements LiveState {
  #source = $state.raw<Source | null>(null);
  #kind = $state<SourceKind | null>(null);
  #phase = $state<LiveState['phase']>('idle');
  #input = $state.raw<InputFacts | null>(null);
  #latest = $state.raw<Latest | null>(null);
  #trace = $state.raw<TraceView>(new PageTrace().view());
  #channel = $state(0);
  #engine = $state.raw<AnalysisEngine>({ strokes: 4, cylinders: 8, pickup: 'plug', crankSensor: null });
  readonly #problems = new SourceProblems({
    again: () => this.#again(),
    wake: () => void this.#wakeSource(),
  });
  readonly #isFresh = $derived(
    this.#phase === 'running' &&
      this.#latest?.report.state === 'following' &&
      !this.#problems.isStalled &&
      !isStale(this.#latest, this.#engine),
  );

  readonly #rows = new PageTrace();
  readonly #analysis = new AnalysisLink(this.#rows, {
    told: (latest) => this.#told(latest),
    died: (words) => void this.#crashed(words),
  });
  readonly #wake = new ScreenWake({ wakeLock: navigator.wakeLock, page: document });
  #run: { readonly id: string; readonly keepSound: boolean } | null = null;
  /** Settles when the trace is that of the run. */
  #keeping: Promise<void> = Promise.resolve();
  /** Raised whenever the person chooses something else: what was under way then gives up. */
  #turn = 0;
  #again: () => void = () => undefined;
  readonly #crashes = new Crashes();
  #watch: InputWatch | null = null;
  readonly #devices = new InputDevices();
  readonly #heard = new HeardNow();

  constructor() {
    document.addEventListener('visibilitychange', () => this.#analysis.replan());
    navigator.mediaDevices?.addEventListener('devicechange', () => void this.#devicesChanged());
    for (const gesture of ['pointerdown', 'keydown'])
      window.addEventListener(gesture, () => void this.#wakeSource(), { capture: true });
  }

  get source(): SourceKind | null {
    return this.#kind;
  }
  get phase(): LiveState['phase'] {
    return this.#phase;
  }
  get problem(): Problem | null {
    return this.#problems.top;
  }
  get input(): InputFacts | null {
    return this.#input;
  }
  get devices(): LiveState['devices'] {
    return this.#devices.list;
  }
  get latest(): Latest | null {
    return this.#latest;
  }
  get heard(): HeardSignal | null {
    return this.#heard.signal;
  }
  get rpm(): number | null {
    return this.#isFresh ? (this.#latest?.rpm ?? null) : null;
  }
  get rpmSd(): number | null {
    return this.#isFresh ? (this.#latest?.rpmSd ?? null) : null;
  }
  get trace(): TraceView {
    return this.#trace;
  }
  get channel(): number {
    return this.#channel;
  }
  get practice(): PracticeControls | null {
    return this.#source?.practice ?? null;
  }

  listDevices = (): Promise<void> => this.#devices.look();

  async startLine(deviceId: string | null): Promise<void> {
    const open = async (): Promise<Source> =>
      (await import('./sources')).lineSource(deviceId || null, (event) => this.#inputSaid(event));
    await this.#start('line input', open, () => void this.startLine(deviceId));
    await this.listDevices(); // labels are told once listening is allowed
  }

  async startFile(file: File, paced: 'fast' | 'real time'): Promise<void> {
    const open = async (): Promise<Source> => (await import('./sources')).fileSource(file, paced);
    await this.#start('recording', open, () => void this.startFile(file, paced));
  }

  async startPractice(): Promise<void> {
    const ended = (words: string): void => this.#sourceEnded(`The practice engine stopped (${words}).`);
    const open = async (): Promise<Source> =>
      (await import('./sources')).practiceSource(this.#engine, Date.now() % 2 ** 31, ended);
    await this.#start('practice engine', open, () => void this.startPractice());
  }

  async listenCloser(): Promise<void> {
    const api = this.#analysis.api;
    if (!api || this.#phase === 'opening') return;
    const turn = this.#turn;
    await this.#heard.ask(
      () => api.heard(),
      () => turn === this.#turn,
    );
  }

  async stop(): Promise<void> {
    this.#turn++;
    this.#problems.clearAll();
    const wasOn = this.#source !== null;
    await this.#letGo();
    this.#setPhase(wasOn || this.#phase === 'ended' ? 'ended' : 'idle');
  }

  setChannel(channel: number): void {
    this.#channel = channel;
    this.#changed();
  }

  setEngine({ strokes, cylinders, pickup, crankSensor }: AnalysisEngine): void {
    const before = this.#engine;
    this.#engine = { strokes, cylinders, pickup, crankSensor };
    if (sameEngine(before, this.#engine)) return;
    if (this.#source?.practice && !sameSound(before, this.#engine)) void this.startPractice();
    else this.#changed();
  }

  /** What was heard of the run so far is in the store when this settles: a file made now holds it. */
  putAway = (): Promise<void> => answered(this.#analysis.api?.putAway());

  keepFor(runId: string | null, keepSound: boolean): Promise<void> {
    return (this.#keeping = this.#keepFor(runId, keepSound));
  }

  async #keepFor(runId: string | null, keepSound: boolean): Promise<void> {
    this.#run = runId === null ? null : { id: runId, keepSound };
    this.#setPhase(this.#phase); // the screen's wakefulness follows
    if (runId === null) return answered(this.#analysis.api?.keepFor(null, false, 0)); // the same trace goes on
    const earlier = await readTrace(runId).catch(() => null);
    if (this.#run?.id !== runId) return; // ended meanwhile
    const endS = earlier?.timeS.at(-1) ?? null;
    await this.#analysis.settle((api) => api.keepFor(runId, keepSound, endS === null ? 0 : endS + 1));
    this.#rows.startAnew(earlier);
    this.#trace = this.#rows.view();
  }

  /** Closes what was on, opens another, joins it. The last one asked for wins. */
  async #start(kind: SourceKind, open: () => Promise<Source>, again: () => void): Promise<void> {
    const turn = ++this.#turn;
    this.#again = again;
    this.#problems.clearAll();
    await this.#letGo();
    if (turn !== this.#turn) return;
    this.#kind = kind;
    this.#latest = null;
    this.#heard.forget();
    this.#input = null;
    this.#setPhase('opening');
    try {
      const source = await open();
      await this.#keeping.catch(() => undefined); // the trace goes on behind that of the run
      if (turn !== this.#turn) return await source.close();
      this.#source = source;
      this.#input = source.facts;
      if (this.#run === null) this.#rows.startAnew(null);
      await this.#join(source, 1);
      if (turn === this.#turn) this.#setPhase('running');
    } catch (error) {
      if (turn === this.#turn) await this.#refused(error);
    }
  }

  async #refused(error: unknown): Promise<void> {
    await this.#letGo();
    this.#kind = null;
    this.#setPhase('idle');
    this.#problems.refused(error);
  }

  /** Joins a source to the analysis; the trace goes on after `gapS`, or begins where it has no rows. */
  async #join(source: Source, gapS: number): Promise<void> {
    const { endS } = this.#rows;
    const options = {
      engine: this.#engine,
      channel: this.#channel,
      runId: this.#run?.id ?? null,
      keepSound: this.#run?.keepSound ?? false,
      startS: endS === null ? 0 : endS + gapS,
    };
    this.#watch = source.kind === 'recording' ? null : this.#newWatch(source);
    this.#analysis.open();
    await this.#analysis.settle((api) => source.join(api, options));
    this.#trace = this.#rows.view();
  }

  async #letGo(): Promise<void> {
    const source = this.#source;
    this.#source = null;
    if (!source) return;
    await source.close().catch(() => undefined);
    const api = this.#analysis.api;
    if (!api) return;
    await answered(api.stop().then(() => this.#analysis.pull()));
    this.#analysis.pause();
  }

  async #told(latest: Latest): Promise<void> {
    this.#apply(latest);
    await this.#source?.practice?.pull();
  }

  #apply(latest: Latest): void {
    const before = this.#latest;
    if (this.#rows.take(latest.session, latest.rows)) this.#trace = this.#rows.view();
    this.#latest = latest;
    if (latest.keepingProblem && latest.keepingProblem !== before?.keepingProblem)
      this.#problems.keepingRefused(latest.keepingProblem);
    if (this.#kind === 'recording') this.#followFile(latest);
    else if (this.#phase === 'running') this.#watch?.see(latest, performance.now());
  }

  #followFile({ fileProgress, sampleRateHz, channelCount }: Latest): void {
    if (sampleRateHz > 0 && this.#input?.sampleRateHz !== sampleRateHz)
      this.#input = { label: 'Recording', sampleRateHz, channelCount, processingOn: [] };
    if (!fileProgress?.done || this.#phase !== 'running') return;
    const { problem, warnings } = fileProgress;
    this.#source = null;
    this.#analysis.pause();
    this.#setPhase('ended');
    const text = problem ?? warnings.join(' ');
    if (text !== '') this.#problems.fileSaid(text);
  }

  #newWatch(source: Source): InputWatch {
    const events = {
      stalled: (isStalled: boolean) => this.#problems.stalled(isStalled),
      repeats: (isRepeating: boolean) => this.#problems.repeats(isRepeating),
      unheard: this.#problems.unheard,
      dropped: (frames: number) => void this.#analysis.api?.noteDropped(frames),
    };
    return new InputWatch(events, () => source.droppedFrames(), performance.now());
  }

  #inputSaid(event: InputEvent): void {
    if (event === 'ended') {
      this.#devices.gone(this.#source?.deviceId ?? null);
      this.#sourceEnded(unpluggedText(this.#input?.label ?? 'sound input'));
    } else if (event === 'broken') void this.#inputBroke('the audio thread');
    else this.#problems.inputSaid(event);
  }

  /** Opened anew, device and all, with the trace so far; not twice in a row. */
  async #inputBroke(words: string): Promise<void> {
    if (this.#crashes.again(performance.now())) return this.#sourceEnded(crashText(words));
    await this.startLine(this.#source?.deviceId ?? null);
    if (this.#phase === 'running') this.#problems.crashed(words);
  }

  #sourceEnded(text: string): void {
    this.#turn++;
    void this.#letGo();
    this.#setPhase('ended');
    this.#problems.sourceEnded(text);
  }

  async #wakeSource(): Promise<void> {
    if (this.#problems.isSuspended) await this.#source?.wake().catch(() => undefined);
  }

  /** A device that went away and came back is listened to again by itself. */
  async #devicesChanged(): Promise<void> {
    await this.listDevices();
    const back = this.#phase === 'ended' ? this.#devices.takeBack() : null;
    if (back !== null) await this.startLine(back);
  }

  #changed(): void {
    if (this.#source) void this.#analysis.api?.change(this.#engine, this.#channel);
  }

  /** Started anew with the trace so far; not twice in a row. */
  async #crashed(words: string): Promise<void> {
    const isTwice = this.#crashes.again(performance.now());
    this.#analysis.drop();
    const source = this.#source;
    if (!source) return;
    if (isTwice || !source.canJoinAgain) return this.#sourceEnded(crashText(words));
    this.#problems.crashed(words);
    const stillS = Math.max(1, (this.#watch?.stillMs(performance.now()) ?? 0) / 1000);
    await this.#join(source, Math.max(stillS, await this.#keptBeyondS()));
  }

  /** How far what a dead worker has put away reaches past what it had told the page, seconds, and a second more. */
  async #keptBeyondS(): Promise<number> {
    const toldS = this.#rows.endS;
    const keptS = this.#run && (await traceEndS(this.#run.id).catch(() => null));
    return toldS === null || keptS === null ? 0 : keptS + 1 - toldS;
  }

  #setPhase(phase: LiveState['phase']): void {
    this.#phase = phase;
    void this.#wake.want(phase === 'running' && this.#run !== null);
  }
}
