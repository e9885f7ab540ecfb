/** Forecasts, search and record on one job, as plain data. Runs in a thread of its own: what the runs leave open takes
 * seconds to work out. */
import type { Combination, Hold } from '../../core/forecast/drawn';
import { forecast } from '../../core/forecast/forecast';
import { jobRuns, type JobRun } from '../../core/forecast/job-runs';
import { springSets, stopOptions, type SpringSet, type StopOption } from '../../core/forecast/options';
import { mechanismPosterior, NoRamp, type Posterior } from '../../core/forecast/posterior';
import { forecastRecord } from '../../core/forecast/record';
import { byRank, searchParts, unknownParts, type Ranked, type Wanted } from '../../core/forecast/search';
import { wantedPart } from '../../core/forecast/wanted-part';
import type { Job } from '../../core/job';
import { springsFit, stopFits } from '../../core/practice/practice-parts';
import { limitWarnings } from '../../core/limits';
import { targetAt, targetProblems } from '../../core/target';
import type {
  ForecastApi,
  ForecastView,
  Ground,
  Held,
  PartsPick,
  RankedView,
  RecordView,
  SearchView,
} from './forecast-api';

const NO_RUN =
  'No run shows a rising curve yet: name the springs and the stop in a set-up, then take readings with it.';

interface Open {
  readonly job: Job;
  readonly runs: readonly JobRun[];
  readonly posterior: Posterior | null;
  readonly ground: Ground;
}

interface Searching {
  readonly wanted: Wanted;
  readonly springs: readonly SpringSet[];
  done: number;
  ranked: readonly Ranked[];
}

export class ForecastBench implements ForecastApi {
  #open: Open | null = null;
  #searching: Searching | null = null;
  #keep: { readonly key: string; readonly posterior: Posterior } | null = null;

  open(job: Job): Ground {
    const runs = jobRuns(job);
    const parts = runs.map((run) => run.parts);
    const { posterior, problem } = this.#posterior(runs);
    const ground: Ground = {
      problem,
      runIds: runs.map(({ run }) => run.id),
      springs: springSets(job.parts, parts).filter(springsFit),
      stops: stopOptions(job.parts, parts),
      fitted: fittedIn(runs.at(-1) ?? null),
      measured: posterior ? measuredIn(posterior) : [],
    };
    this.#open = { job, runs, posterior, ground };
    this.#searching = null;
    return ground;
  }

  forecast(pick: PartsPick, held: Held): ForecastView {
    const { job, runs, ground } = this.#opened();
    const posterior = this.#known();
    const set = ground.springs.find((one) => one.firstId === pick.firstId && one.secondId === pick.secondId);
    const stop = ground.stops.find(({ id }) => id === pick.stopId);
    if (!set?.choice || !stop?.choice)
      throw new RangeError(set?.choice ? (stop?.text ?? 'No such stop.') : (set?.text ?? 'No such springs.'));
    const fitted: Combination = { ...set.choice, stop: stop.choice };
    const made = forecast(posterior, fitted, holdOf(held, job), runs.length - 1);
    const { idleRpm } = job.engine;
    const idleDeg = idleRpm === null ? null : made.at(idleRpm);
    const {
      initialDeg,
      startRpm,
      allInRpm,
      totalDeg,
      rangeDeg,
      moveDeg,
      curve,
      beyondDeg,
      beyondShare,
      notes,
    } = made;
    return {
      ...{ pick, held, initialDeg, startRpm, allInRpm, totalDeg, rangeDeg, moveDeg },
      ...{ curve, beyondDeg, beyondShare, notes },
      idleDeg,
      restsOn: [`${springsName(set)}: ${set.text}`, `${stop.name}: ${stop.text}`],
      overLimits: limitWarnings(
        { totalDeg: totalDeg ?? made.at(curve.at(-1)!.rpm), idleDeg },
        job.limits,
      ).map(({ text }) => text),
    };
  }

  search(): SearchView {
    const { job, ground } = this.#opened();
    this.#known();
    if (!job.target || targetProblems(job.target).length > 0)
      throw new RangeError('Without a target there is nothing to come near: draw one in Engine.');
    const wanted = { target: job.target, limits: job.limits, idleRpm: job.engine.idleRpm };
    const springs = ground.springs.filter(({ choice }) => choice !== null);
    this.#searching = { wanted, springs, done: 0, ranked: [] };
    return this.#found();
  }

  searchOn(): SearchView {
    const searching = this.#search();
    const set = searching.springs[searching.done];
    if (set) {
      const { stops } = this.#opened().ground;
      const fitting = stops.filter(({ id }) => stopFits(set, id));
      const { ranked } = searchParts(this.#known(), [set], fitting, searching.wanted);
      searching.done++;
      searching.ranked = [...searching.ranked, ...ranked].sort(byRank);
    }
    return this.#found();
  }

  wantedPart(): string | null {
    const { ranked, wanted } = this.#search();
    const best = ranked[0];
    return best ? (wantedPart(this.#known(), best, wanted)?.text ?? null) : null;
  }

  record(job: Job): RecordView {
    const { results, text } = forecastRecord(job);
    const rows = results.map(
      ({ runId, fromRunId, startRpm, allInRpm, rangeDeg, agreeingShare, meanOffDeg, text: words }) => ({
        ...{ runId, fromRunId, startRpm, allInRpm, rangeDeg, agreeingShare, meanOffDeg },
        text: words,
      }),
    );
    return { rows, text };
  }

  /** The same runs with the same parts give the same draws: they are made once. */
  #posterior(runs: readonly JobRun[]): { posterior: Posterior | null; problem: string | null } {
    if (runs.length === 0) return { posterior: null, problem: NO_RUN };
    const key = JSON.stringify(runs.map(({ points, parts, zeroSdDeg }) => [points, parts, zeroSdDeg]));
    try {
      if (this.#keep?.key !== key) this.#keep = { key, posterior: mechanismPosterior(runs) };
      return { posterior: this.#keep.posterior, problem: null };
    } catch (error) {
      if (error instanceof NoRamp) return { posterior: null, problem: error.message };
      throw error;
    }
  }

  #opened(): Open {
    if (!this.#open) throw new RangeError('no job is open here');
    return this.#open;
  }
  #known(): Posterior {
    const { posterior, ground } = this.#opened();
    if (!posterior) throw new RangeError(ground.problem ?? NO_RUN);
    return posterior;
  }
  #search(): Searching {
    if (!this.#searching) throw new RangeError('no search is begun');
    return this.#searching;
  }
  #found(): SearchView {
    const { springs, done, ranked } = this.#search();
    const { ground } = this.#opened();
    return {
      done,
      all: springs.length,
      ranked: ranked.map(rankedView),
      unknown: unknownParts(ground.springs, ground.stops),
    };
  }
}

function fittedIn(last: JobRun | null): PartsPick | null {
  const { firstSpringId = null, secondSpringId = null, stopId = null } = last?.setUp ?? {};
  if (firstSpringId === null || stopId === null) return null;
  return { firstId: firstSpringId, secondId: secondSpringId, stopId };
}

const MEASURED_STEP_RPM = 25;

/** The latest run's own curve, from its lowest to its highest reading: rpm and degrees. */
function measuredIn({ runs, fits }: Posterior): (readonly [number, number])[] {
  const speeds = runs.at(-1)!.points.map(({ rpm }) => rpm);
  const [low, high] = [Math.min(...speeds), Math.max(...speeds)];
  const count = Math.ceil((high - low) / MEASURED_STEP_RPM);
  const grid = Array.from({ length: count + 1 }, (_, i) => low + ((high - low) * i) / Math.max(1, count));
  return grid.flatMap((rpm) => {
    const deg = fits.at(-1)!.predict(rpm);
    return deg === null ? [] : [[rpm, deg] as const];
  });
}

function holdOf(held: Held, { target }: Job): Hold {
  if (held !== 'target') return held;
  if (!target || targetProblems(target).length > 0)
    throw new RangeError('The target’s total cannot be set: no target is drawn.');
  return { totalDeg: targetAt(target, Infinity) };
}

const springsName = ({ firstId, secondId, name }: SpringSet): string =>
  secondId === firstId ? `${name} × 2` : name;

const pickOf = ({ firstId, secondId }: SpringSet, { id }: StopOption): PartsPick => ({
  ...{ firstId, secondId },
  stopId: id,
});

const rankedView = ({ springs, stop, forecast: _, ...found }: Ranked): RankedView => ({
  pick: pickOf(springs, stop),
  springs: springsName(springs),
  stop: stop.name,
  beyondBandDeg: found.beyondBandDeg,
  couldBeInside: found.couldBeInside,
  beyondShare: found.beyondShare,
  measured: found.measured,
  overLimits: found.overLimits,
  text: found.text,
});
