/** Runs laid over one another: which are chosen, and the letter, the dashes and the line that each is drawn with. */
import type { RunSide } from '../../../core/compare-runs';
import { fitCurve } from '../../../core/fit';
import type { Job, Run } from '../../../core/job';
import { curvePoints } from '../../../core/reading';
import { rangesOf, type OverlaidLine, type Picture } from '../../plot/picture';
import { curveOf, pictureOf } from '../curve-picture';

/** A letter for each run on the plot and in the table, the reference being the first: A, B … Z, A2, B2 … */
export const letterOf = (place: number): string =>
  String.fromCharCode(65 + (place % 26)) + (place < 26 ? '' : String(1 + Math.floor(place / 26)));

/** Dashes and gaps, CSS pixels; none for the reference. Letters tell apart what comes round again. */
const DASHES: readonly (readonly number[])[] = [
  [],
  [2, 5],
  [12, 5],
  [14, 4, 2, 4],
  [6, 6],
  [14, 4, 2, 4, 2, 4],
];
export const dashOf = (place: number): readonly number[] =>
  place === 0 ? [] : DASHES[1 + ((place - 1) % (DASHES.length - 1))]!;

/** The runs that are chosen: those that a person took, or the latest and the one before it.
 * @param runs with readings, the latest first
 * @returns the reference first, then the others, the earliest of them first */
export function chosenRuns(
  runs: readonly Run[],
  referenceId: string | null,
  ids: readonly string[] | null,
): readonly Run[] {
  const reference = runs.find(({ id }) => id === referenceId) ?? runs[1] ?? runs[0];
  if (!reference) return [];
  const latest = runs.find(({ id }) => id !== reference.id);
  const taken = ids ?? (latest ? [latest.id] : []);
  const others = runs.filter(({ id }) => id !== reference.id && taken.includes(id)).toReversed();
  return [reference, ...others];
}

export function sideOf(run: Run): RunSide {
  const points = curvePoints(run);
  return { points, fit: fitCurve(points), corrections: run.corrections };
}

const lineOf = (job: Job, run: Run, { fit }: RunSide): readonly (readonly [number, number])[] => {
  const curve = curveOf(fit, rangesOf(pictureOf(job, run, fit)).rpm);
  return curve?.rpm.map((rpm, i) => [rpm, curve.advanceDeg[i]!] as const) ?? [];
};

/** The reference with its band and readings, the others as lines with their letters.
 * @param sides of the runs, in their order; one or more */
export function overlayPicture(job: Job, runs: readonly Run[], sides: readonly RunSide[]): Picture {
  const overlaid = runs.slice(1).map((run, i): OverlaidLine => ({
    letter: letterOf(i + 1),
    dashPx: dashOf(i + 1),
    points: lineOf(job, run, sides[i + 1]!),
  }));
  return { ...pictureOf(job, runs[0]!, sides[0]!.fit), overlaid };
}
