/** The page's end of the analysis: its thread made when first needed, what it knows pulled once a frame, and what was asked
 * for before the trace became another thrown away. */
import type { AnalysisApi, Latest } from '../worker/analysis-api';
import { connectAnalysis, type Connection } from '../worker/connect';
import { answered } from './answered';
import type { PageTrace } from './page-trace';
import { Puller } from './puller';

type Api = Connection<AnalysisApi>['api'];

interface Events {
  readonly told: (latest: Latest) => Promise<void>;
  readonly died: (words: string) => void;
}

export class AnalysisLink {
  #connection: Connection<AnalysisApi> | null = null;
  readonly #puller = new Puller(
    () => this.pull(),
    () => this.#connection?.fail('it no longer answers'),
  );
  /** Raised whenever the trace is another. */
  #epoch = 0;
  #settling = 0;

  /** @param rows the trace that the page has so far */
  constructor(
    private readonly rows: PageTrace,
    private readonly events: Events,
  ) {}

  /** Undefined before it is opened, and after it died. */
  get api(): Api | undefined {
    return this.#connection?.api;
  }

  /** Makes the thread where there is none, and begins to pull. */
  open(): void {
    this.#connection ??= connectAnalysis(this.events.died);
    this.#puller.start();
  }

  pause(): void {
    this.#puller.stop();
  }

  /** The page is shown or hidden. */
  replan(): void {
    this.#puller.replan();
  }

  /** The thread is dead: nothing that it was asked for counts. */
  drop(): void {
    this.#connection = null;
    this.#epoch++;
    this.#puller.stop();
  }

  /** A call that makes the trace another: what was asked for before it is thrown away. */
  async settle(call: (api: Api) => Promise<void>): Promise<void> {
    if (!this.#connection) return;
    this.#settling++;
    try {
      await answered(call(this.#connection.api));
    } finally {
      this.#settling--;
      this.#epoch++;
      this.rows.nextSession();
    }
  }

  /** Asks once what is known. */
  async pull(): Promise<void> {
    const { api } = this;
    if (!api || this.#settling > 0) return;
    const epoch = this.#epoch;
    const latest = await api.latest(this.rows.session, this.rows.haveRow);
    if (epoch !== this.#epoch || this.#settling > 0) return;
    await this.events.told(latest);
  }
}
