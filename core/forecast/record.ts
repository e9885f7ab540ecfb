/** How good forecasts have been: a forecast made from earlier runs beside the run that came later. Job in, each
 * forecast with its result and the whole record out. */
import { fitCurve, type CurveFit, type Figure } from '../fit';
import type { Job } from '../job';
import type { Combination, SpringChoice, StopChoice } from './drawn';
import { forecast, type Forecast } from './forecast';
import { jobRuns, type JobRun } from './job-runs';
import { springSets, stopOptions } from './options';
import type { RunParts } from './parameters';
import { mechanismPosterior } from './posterior';

/** One figure as it was forecast and as it then came out; null where either was not seen. */
export interface Outcome {
  readonly forecast: Figure;
  readonly result: Figure;
  /** The two intervals leave room for one truth. */
  readonly agrees: boolean;
}

export interface ForecastResult {
  readonly runId: string;
  /** The run whose housing was gone on from. */
  readonly fromRunId: string;
  readonly forecast: Forecast;
  readonly fit: CurveFit;
  readonly startRpm: Outcome | null;
  readonly allInRpm: Outcome | null;
  readonly rangeDeg: Outcome | null;
  /** Share of the speeds read at which forecast and measured curve agree, the housing's setting left out, 0 to 1. */
  readonly agreeingShare: number;
  /** Mean distance between the two curves there, degrees. */
  readonly meanOffDeg: number;
  readonly text: string;
}

export interface ForecastRecord {
  readonly results: readonly ForecastResult[];
  /** One sentence on all of them; null where there is none yet. */
  readonly text: string | null;
}

/** Whether the difference of two estimates is within its own 95 % interval.
 * @source errors of independent estimates add in squares */
export function agree(a: Figure, b: Figure): boolean {
  const half = (figure: Figure): number => (figure.high - figure.low) / 2;
  return Math.abs(a.value - b.value) <= Math.hypot(half(a), half(b));
}

const outcome = (a: Figure | null, b: Figure | null): Outcome | null =>
  a && b && { forecast: a, result: b, agrees: agree(a, b) };

/** Sets a forecast beside the run that came later. The housing was set by hand between the two, so that the curves are
 * compared with their mean difference taken off. */
export function forecastResult(
  made: Forecast,
  later: Pick<JobRun, 'run' | 'points'>,
  fromRunId: string,
): ForecastResult {
  const fit = fitCurve(later.points);
  const speeds = later.points.filter((_, i) => !fit.setAside.includes(i)).map(({ rpm }) => rpm);
  const pairs = speeds.flatMap((rpm) => {
    const [value, band] = [fit.predict(rpm), fit.band(rpm)];
    return value === null || band === null ? [] : [{ made: made.at(rpm), seen: { value, ...band } }];
  });
  const shift = pairs.reduce((sum, { made: m, seen }) => sum + seen.value - m.value, 0) / (pairs.length || 1);
  const shifted = pairs.map(({ made: m, seen }) => ({
    seen,
    made: { value: m.value + shift, low: m.low + shift, high: m.high + shift },
  }));
  const agreeing = shifted.filter(({ made: m, seen }) => agree(m, seen)).length / (pairs.length || 1);
  const off = shifted.reduce((sum, { made: m, seen }) => sum + Math.abs(seen.value - m.value), 0);
  const result = {
    runId: later.run.id,
    fromRunId,
    ...{ forecast: made, fit },
    startRpm: outcome(made.startRpm, fit.startRpm),
    allInRpm: outcome(made.allInRpm, fit.allInRpm),
    rangeDeg: outcome(made.rangeDeg, fit.rangeDeg),
    agreeingShare: agreeing,
    meanOffDeg: off / (pairs.length || 1),
  };
  return { ...result, text: resultText(result) };
}

function resultText(result: Omit<ForecastResult, 'text'>): string {
  const told = (name: string, outcome: Outcome | null, digits: number, unit: string): string[] =>
    outcome === null
      ? []
      : [
          `${name} ${outcome.forecast.value.toFixed(digits)} forecast, ${outcome.result.value.toFixed(digits)} ${unit} measured${outcome.agrees ? '' : ' (outside both intervals)'}`,
        ];
  const figures = [
    ...told('start', result.startRpm, 0, 'rpm'),
    ...told('all-in', result.allInRpm, 0, 'rpm'),
    ...told('range', result.rangeDeg, 1, 'degrees'),
  ];
  const curve = `The curve agreed at ${Math.round(100 * result.agreeingShare)} % of the speeds read, ${result.meanOffDeg.toFixed(1)} degrees apart on average.`;
  return figures.length === 0 ? curve : `${capital(figures.join('; '))}. ${curve}`;
}

const capital = (text: string): string => text[0]!.toUpperCase() + text.slice(1);

/** What a run had, as earlier runs know it: null where they do not know one of its parts. */
function knownAs(job: Job, earlier: readonly RunParts[], { setUp, parts }: JobRun): Combination | null {
  const set = springSets(job.parts, earlier).find(
    ({ firstId, secondId }) =>
      setUp !== null && firstId === setUp.firstSpringId && secondId === (setUp.secondSpringId ?? null),
  );
  const stop: StopChoice | null =
    stopOptions(job.parts, earlier).find(({ id }) => id === setUp?.stopId)?.choice ?? null;
  const springs: { firstSpring: SpringChoice; secondSpring: SpringChoice } | null = set?.choice ?? null;
  const repeated = earlier.some(
    (run) =>
      run.firstSpring === parts.firstSpring &&
      run.secondSpring === parts.secondSpring &&
      run.stop === parts.stop,
  );
  return springs && stop && !repeated ? { ...springs, stop } : null;
}

/** Every run of the job that earlier runs could forecast, beside what they would have said. A run with parts that were
 * run together before is a repeat, not a forecast. */
export function forecastRecord(job: Job): ForecastRecord {
  const runs = jobRuns(job);
  const results = runs.flatMap((later, i) => {
    const earlier = runs.slice(0, i);
    if (earlier.length === 0) return [];
    const fitted = knownAs(
      job,
      earlier.map(({ parts }) => parts),
      later,
    );
    if (fitted === null) return [];
    const made = forecast(mechanismPosterior(earlier), fitted, 'total', i - 1);
    return [forecastResult(made, later, earlier[i - 1]!.run.id)];
  });
  return { results, text: recordText(results) };
}

function recordText(results: readonly ForecastResult[]): string | null {
  if (results.length === 0) return null;
  const mean = (of: (result: ForecastResult) => number): number =>
    results.reduce((sum, result) => sum + of(result), 0) / results.length;
  const share = Math.round(100 * mean(({ agreeingShare }) => agreeingShare));
  const count = results.length === 1 ? 'one forecast' : `${results.length} forecasts`;
  return `${capital(count)} so far: forecast and measured curve agreed at ${share} % of the speeds read, ${mean(({ meanOffDeg }) => meanOffDeg).toFixed(1)} degrees apart on average.`;
}
