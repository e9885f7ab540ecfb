/** A job's runs as the mechanism's fit takes them: which runs have a curve to tell of, and which parts each of them
 * shares with others. */
import { fitCurve } from '../fit';
import type { Job, Run, SetUp } from '../job';
import { curvePoints } from '../reading';
import type { FittedRun } from './likelihood';
import type { RunParts } from './parameters';

/** A run beside its place among the runs that are fitted. */
export interface JobRun extends FittedRun {
  readonly run: Run;
  readonly setUp: SetUp | null;
}

/** Runs with more of them than this are fitted by the latest: the rest add time and little else. */
export const MOST_RUNS = 8;

/** What parts are called in the fit. Two springs of one kind act as one; of two kinds the second may have slack. Where
 * no other spring is named, something may still take hold later. */
export const partKeys = {
  set: (springId: string): string => `set ${springId}`,
  first: (springId: string): string => `first ${springId}`,
  second: (springId: string): string => `second ${springId}`,
  late: (firstKey: string): string => `late ${firstKey}`,
  stop: (stopId: string): string => `stop ${stopId}`,
  ofRun: (runId: string): string => `run ${runId}`,
} as const;

/** @param setUp null: not said, so the run shares nothing */
export function partsOf(run: Pick<Run, 'id'>, setUp: SetUp | null): RunParts {
  const own = partKeys.ofRun(run.id);
  const [first, second, stopId] = [setUp?.firstSpringId, setUp?.secondSpringId, setUp?.stopId];
  const stop = stopId == null ? own : partKeys.stop(stopId);
  if (first == null) return { firstSpring: own, secondSpring: partKeys.late(own), stop };
  if (second == null || second === first) {
    const set = second === first ? partKeys.set(first) : partKeys.first(first);
    return { firstSpring: set, secondSpring: partKeys.late(set), stop };
  }
  return { firstSpring: partKeys.first(first), secondSpring: partKeys.second(second), stop };
}

/** A run as the fit takes it. */
export function jobRunOf(run: Run, setUps: readonly SetUp[]): JobRun {
  const setUp = setUps.find(({ id }) => id === run.setUpId) ?? null;
  const zeroSdDeg = run.corrections.tapeZeroSdDeg;
  return { run, setUp, points: curvePoints(run), parts: partsOf(run, setUp), zeroSdDeg };
}

/** The runs of a job that show a rise, the vacuum line not connected, in the order of their time; at most the latest
 * eight.
 * @param keptId a run that is among them however old, if it is such a run */
export function jobRuns({ runs, setUps }: Pick<Job, 'runs' | 'setUps'>, keptId?: string): JobRun[] {
  const fit = runs
    .toSorted((a, b) => (a.startedAt < b.startedAt ? -1 : a.startedAt > b.startedAt ? 1 : 0))
    .map((run) => jobRunOf(run, setUps))
    .filter(({ points, setUp }) => setUp?.vacuumLine !== 'connected' && showsRise(points));
  const latest = fit.slice(-MOST_RUNS);
  const kept = fit.slice(0, -MOST_RUNS).find(({ run }) => run.id === keptId);
  return kept ? [kept, ...latest.slice(1)] : latest;
}

function showsRise(points: FittedRun['points']): boolean {
  const fit = fitCurve(points);
  return fit.shape !== null && (fit.slopeDegPer1000Rpm ?? 0) > 0;
}
