/** Forecasts as the page sees them: what was asked for and what has come of it. One question at a time goes to the
 * thread; a newer job or choice takes the place of an older one. */
import type { Job } from '../../core/job';
import type { ForecastView, Ground, Held, PartsPick, RecordView, SearchView } from './forecast-api';
import type { ForecastThread } from './connect';

/** What the desk works on: for words and a way to stop. */
export type Working = 'runs' | 'forecast' | 'search' | 'record';

/** A thread that died or was cut off leaves its calls unanswered: they end here. */
class CutOff extends Error {}

/** Of a job only what forecasts stand on. Traces are large and say nothing here. */
export function forecastJob(job: Job): Job {
  return { ...job, runs: job.runs.map((run) => ({ ...run, trace: null })), log: [], notes: '' };
}

/** Whether two jobs give the same forecasts. */
export const forecastKey = ({ runs, setUps, parts, target, limits, engine }: Job): string =>
  JSON.stringify([
    runs.map(({ id, setUpId, startedAt, corrections, readings }) => [
      ...[id, setUpId, startedAt, corrections],
      readings.map(({ rpm, rpmSd, seenDeg, steady }) => [rpm, rpmSd, seenDeg, steady]),
    ]),
    ...[setUps, parts, target, limits, engine],
  ]);

const isKnown = ({ springs, stops }: Ground, { firstId, secondId, stopId }: PartsPick): boolean =>
  springs.some((one) => one.firstId === firstId && one.secondId === secondId && one.choice !== null) &&
  stops.some(({ id, choice }) => id === stopId && choice !== null);

export class ForecastDesk {
  #working: Working | null = $state(null);
  #ground: Ground | null = $state.raw(null);
  #forecast: ForecastView | null = $state.raw(null);
  #search: SearchView | null = $state.raw(null);
  #wantedPart: string | null = $state(null);
  #record: RecordView | null = $state.raw(null);
  #problem: string | null = $state(null);
  readonly #start: (onCrash: () => void) => ForecastThread;
  #thread: ForecastThread | null = null;
  #cut: ((error: CutOff) => void) | null = null;
  #turn: Promise<unknown> = Promise.resolve();
  #job: Job | null = null;
  #key = '';
  /** The job that the thread has open. */
  #openKey = '';
  #searchNo = 0;
  #choiceNo = 0;

  constructor(start: (onCrash: () => void) => ForecastThread) {
    this.#start = start;
  }

  get working(): Working | null {
    return this.#working;
  }
  /** null before the runs are worked out. */
  get ground(): Ground | null {
    return this.#ground;
  }
  get forecast(): ForecastView | null {
    return this.#forecast;
  }
  get search(): SearchView | null {
    return this.#search;
  }
  /** The part that would do where none owned does, in words. */
  get wantedPart(): string | null {
    return this.#wantedPart;
  }
  get record(): RecordView | null {
    return this.#record;
  }
  /** What went wrong, one sentence. */
  get problem(): string | null {
    return this.#problem;
  }

  /** To be called whenever the job may have changed. @returns settles when its ground is known or given up */
  async follow(job: Job): Promise<void> {
    const key = forecastKey(job);
    if (key === this.#key) return;
    if (this.#working) this.#drop(); // nobody waits for what another job would give
    [this.#key, this.#job] = [key, job];
    [this.#ground, this.#forecast, this.#search, this.#wantedPart, this.#record] = [
      null,
      null,
      null,
      null,
      null,
    ];
    this.#searchNo++;
    await this.open();
  }

  /** Works out what the runs leave open, again where it was cut off. */
  open = (): Promise<void> => this.#ask('runs', async () => undefined);

  /** Parts that cannot be forecast leave no forecast on show: the ground says why. */
  choose(pick: PartsPick, held: Held): Promise<void> {
    const no = ++this.#choiceNo;
    return this.#ask('forecast', async (api) => {
      if (no !== this.#choiceNo) return; // another was chosen since
      this.#forecast = isKnown(this.#ground!, pick) ? await this.#answer(api.forecast(pick, held)) : null;
    });
  }

  /** Searches springs by springs; what is found so far is on show all the while. */
  async look(): Promise<void> {
    const no = ++this.#searchNo;
    const going = (): boolean => no === this.#searchNo;
    this.#wantedPart = null;
    await this.#ask('search', async (api) => {
      let found = await this.#answer(api.search());
      while (found.done < found.all && going()) {
        this.#search = found;
        found = await this.#answer(api.searchOn());
      }
      if (!going()) return;
      this.#search = found;
      this.#wantedPart = await this.#answer(api.wantedPart());
    });
  }

  /** How good forecasts have been. Takes a while: each is made anew from the runs before it. */
  lookBack(): Promise<void> {
    return this.#ask('record', async (api) => {
      this.#record = await this.#answer(api.record(forecastJob(this.#job!)));
    });
  }

  /** Ends what is going on. A search keeps what it has found. */
  stop(): void {
    this.#searchNo++;
    this.#drop();
  }

  /** Lets the thread go. */
  close(): void {
    this.stop();
    this.#key = '';
  }

  #ask(what: Working, act: (api: ForecastThread['api']) => Promise<unknown>): Promise<void> {
    const key = this.#key;
    const turn = this.#turn.then(async () => {
      if (key !== this.#key || !this.#job) return; // another job has come since
      this.#working = what;
      this.#problem = null;
      try {
        if (what !== 'record') await this.#opened(this.#job, key); // the record stands on each run's own past
        if (key !== this.#key) return;
        if (what === 'record' || this.#ground?.problem === null) await act(this.#running().api);
      } catch (error) {
        if (!(error instanceof CutOff))
          this.#problem = error instanceof Error ? error.message : String(error);
      } finally {
        this.#working = null;
      }
    });
    this.#turn = turn;
    return turn;
  }

  async #opened(job: Job, key: string): Promise<void> {
    if (this.#openKey === key) return;
    const ground = await this.#answer(this.#running().api.open(forecastJob(job)));
    if (key !== this.#key) throw new CutOff();
    [this.#ground, this.#openKey] = [ground, key];
  }

  #running(): ForecastThread {
    return (this.#thread ??= this.#start(() => {
      this.#problem = 'The forecast stopped: its thread broke down. Ask again.';
      this.#drop();
    }));
  }

  #drop(): void {
    this.#thread?.close();
    this.#thread = null;
    this.#openKey = '';
    this.#cut?.(new CutOff());
  }

  #answer<T>(call: Promise<T>): Promise<T> {
    const cut = new Promise<never>((_, reject) => (this.#cut = reject));
    return Promise.race([call, cut]);
  }
}
