/** The contract with the forecast thread: a job in, then forecasts, a search and the record of past forecasts out, as
 * plain data. One job at a time; what its runs leave open is worked out once and kept. */
import type { Figure } from '../../core/fit';
import type { ForecastRow } from '../../core/forecast/forecast';
import type { SpringSet, StopOption } from '../../core/forecast/options';
import type { Outcome } from '../../core/forecast/record';
import type { Job } from '../../core/job';

/** Which parts: the second the same as the first for two of a kind, null where a run named no other. */
export interface PartsPick {
  readonly firstId: string;
  readonly secondId: string | null;
  readonly stopId: string;
}

/** What the housing is set for afterwards: the latest run's total or initial stays, or the target's total is set. */
export type Held = 'total' | 'initial' | 'target';

/** What forecasts stand on. */
export interface Ground {
  /** Why there can be none, a sentence; null where there can. */
  readonly problem: string | null;
  /** The runs that are fitted together, the earliest first. */
  readonly runIds: readonly string[];
  readonly springs: readonly SpringSet[];
  readonly stops: readonly StopOption[];
  /** What was fitted in the latest of them; null where it does not name parts. */
  readonly fitted: PartsPick | null;
  /** The curve that the latest of them measured: rpm and degrees, rpm rising. */
  readonly measured: readonly (readonly [number, number])[];
}

export interface ForecastView {
  readonly pick: PartsPick;
  readonly held: Held;
  /** null: not seen. */
  readonly initialDeg: Figure | null;
  readonly startRpm: Figure | null;
  readonly allInRpm: Figure | null;
  readonly totalDeg: Figure | null;
  readonly rangeDeg: Figure | null;
  readonly moveDeg: Figure | null;
  readonly idleDeg: Figure | null;
  readonly curve: readonly ForecastRow[];
  readonly beyondDeg: number;
  readonly beyondShare: number;
  /** How springs and stop are known, then what the forecast itself has to say. */
  readonly restsOn: readonly string[];
  readonly notes: readonly string[];
  readonly overLimits: readonly string[];
}

export interface RankedView {
  readonly pick: PartsPick;
  readonly springs: string;
  readonly stop: string;
  readonly beyondBandDeg: number;
  readonly couldBeInside: boolean;
  readonly beyondShare: number;
  readonly measured: boolean;
  readonly overLimits: readonly string[];
  /** The reasons, in sentences. */
  readonly text: string;
}

/** A search as far as it has come. */
export interface SearchView {
  readonly done: number;
  readonly all: number;
  /** The nearest first, of those looked at. */
  readonly ranked: readonly RankedView[];
  /** What cannot be forecast, and what would change that. */
  readonly unknown: readonly string[];
}

export interface RecordRow {
  readonly runId: string;
  readonly fromRunId: string;
  readonly startRpm: Outcome | null;
  readonly allInRpm: Outcome | null;
  readonly rangeDeg: Outcome | null;
  readonly agreeingShare: number;
  readonly meanOffDeg: number;
  readonly text: string;
}
export interface RecordView {
  readonly rows: readonly RecordRow[];
  readonly text: string | null;
}

export interface ForecastApi {
  open(job: Job): Ground;
  /** @throws RangeError for parts that cannot be forecast, or with no job open */
  forecast(pick: PartsPick, held: Held): ForecastView;
  /** Begins a search, nothing looked at yet. @throws RangeError without a target or ground */
  search(): SearchView;
  /** Looks at the next springs with every stop. */
  searchOn(): SearchView;
  /** Once all are looked at: which part would do where none owned does; null where one does, or none is known. */
  wantedPart(): string | null;
  record(job: Job): RecordView;
}
