/** Two runs side by side: their fits and readings in; how far each figure and the whole curve moved, with 95 %
 * intervals of both runs together, and whether anything did change, out. */
import { fTail } from './curve/student-t';
import { type CurveFit, type CurvePoint, FEWEST_READINGS, type Figure, fitCurve } from './fit';
import type { Corrections } from './job';
import { advanceFigure } from './limits';
import { NORMAL_95 } from './curve/student-t';
import { shownFigure } from './shown-figure';
import { difference } from './work/work-step';

export interface RunSide {
  readonly points: readonly CurvePoint[];
  /** Of these points. */
  readonly fit: CurveFit;
  readonly corrections: Pick<Corrections, 'tapeZeroErrorDeg' | 'tapeZeroSdDeg'>;
}

export interface FigureChange {
  readonly name: 'initial' | 'start' | 'all-in' | 'total' | 'range';
  readonly unit: 'deg' | 'rpm';
  readonly before: Figure | null;
  readonly after: Figure | null;
  /** After less before; null where one of them is not seen. */
  readonly change: Figure | null;
  /** The interval leaves no room for no change; null: not known. */
  readonly changed: boolean | null;
}

export interface RunsCompared {
  readonly figures: readonly FigureChange[];
  /** The curve's change at speeds that both runs show, rising; each interval holds for its own speed. */
  readonly curve: readonly { readonly rpm: number; readonly changeDeg: Figure }[];
  /** Whether the two runs' readings show two curves; null: too few of them to say. */
  readonly changed: boolean | null;
  /** Chance that one and the same curve gives readings as different as these. */
  readonly chance: number | null;
  readonly text: string;
  readonly notes: readonly string[];
}

const GRID_RPM = 50;
/** At a chance below this the runs are called different. */
const UNLIKELY = 0.05;

/** How far off the one tape's zero may be against the other's, a standard deviation: one proof for both runs cancels.
 * @source Independent errors add by their squares */
function zeroSdDeg(before: RunSide, after: RunSide): number {
  const [a, b] = [before.corrections, after.corrections];
  if (a.tapeZeroErrorDeg === b.tapeZeroErrorDeg && a.tapeZeroSdDeg === b.tapeZeroSdDeg) return 0;
  return Math.hypot(a.tapeZeroSdDeg ?? 0, b.tapeZeroSdDeg ?? 0);
}

const wider = ({ value, low, high }: Figure, reach: number): Figure => ({
  value,
  low: value - Math.hypot(value - low, reach),
  high: value + Math.hypot(high - value, reach),
});

const FIGURES = [
  { name: 'initial', unit: 'deg', key: 'initialDeg', holdsZero: true },
  { name: 'start', unit: 'rpm', key: 'startRpm', holdsZero: false },
  { name: 'all-in', unit: 'rpm', key: 'allInRpm', holdsZero: false },
  { name: 'total', unit: 'deg', key: 'totalDeg', holdsZero: true },
  { name: 'range', unit: 'deg', key: 'rangeDeg', holdsZero: false },
] as const;

const figureChanges = (before: RunSide, after: RunSide, reachDeg: number): FigureChange[] =>
  FIGURES.map(({ name, unit, key, holdsZero }) => {
    const [was, is] = [before.fit[key], after.fit[key]];
    const change = was && is && wider(difference(is, was), holdsZero ? reachDeg : 0);
    const changed = change && (change.low > 0 || change.high < 0);
    return { name, unit, before: was, after: is, change, changed };
  });

function curveChanges(before: RunSide, after: RunSide, reachDeg: number): RunsCompared['curve'] {
  const speeds = [...before.points, ...after.points].map(({ rpm }) => rpm);
  const [low, high] = [Math.min(...speeds), Math.max(...speeds)];
  const changes: { rpm: number; changeDeg: Figure }[] = [];
  for (let rpm = Math.ceil(low / GRID_RPM) * GRID_RPM; rpm <= high; rpm += GRID_RPM) {
    const [was, is] = [advanceFigure(before.fit, rpm), advanceFigure(after.fit, rpm)];
    if (was && is) changes.push({ rpm, changeDeg: wider(difference(is, was), reachDeg) });
  }
  return changes;
}

const used = ({ points, fit }: RunSide): CurvePoint[] => points.filter((_, i) => !fit.setAside.includes(i));

/** Squares that a curve leaves of the readings that it does not set aside. */
const leftOver = (fit: CurveFit, points: readonly CurvePoint[]): number =>
  points.reduce((sum, { rpm, advanceDeg }) => sum + (advanceDeg - (fit.predict(rpm) ?? advanceDeg)) ** 2, 0);

/** What a corner counts as, beside a level's 1: it may be looked for anywhere, so it follows the scatter further than a
 * figure that stands in a straight line. Set so that two runs of one curve are called different in 1 of 20 made sets. */
const CORNER_COUNTS = 1.5;

/** Levels and corners of a curve. */
const figuresIn = ({ shape }: CurveFit): number => {
  const corners = shape === null ? 0 : shape === 'two slopes' ? 3 : 2;
  return Math.max(1, corners * (1 + CORNER_COUNTS));
};

/** Chance that one curve gives both runs' readings, by what one curve for both leaves over two.
 * @param mostShiftDeg how far the second run may be moved as a whole: what the tapes' zeros leave open
 * @returns null with too few readings
 * @source The F test of a model against one with more figures (Draper and Smith, Applied Regression Analysis; from
 * memory); corners make it an approximation, held by a test on made sets */
function chanceOfOne(before: RunSide, after: RunSide, mostShiftDeg: number): number | null {
  const [a, b] = [used(before), used(after)];
  if (a.length < FEWEST_READINGS || b.length < FEWEST_READINGS) return null;
  const shift = Math.max(-mostShiftDeg, Math.min(mostShiftDeg, meanChange(before, after)));
  const both = [...a, ...b.map((point) => ({ ...point, advanceDeg: point.advanceDeg - shift }))];
  const one = fitCurve(both);
  const apart = figuresIn(before.fit) + figuresIn(after.fit);
  const more = Math.max(1, apart - figuresIn(one));
  const freedom = both.length - apart;
  const least = leftOver(before.fit, a) + leftOver(after.fit, b);
  if (freedom < 1 || !(least > 0)) return null;
  return fTail((leftOver(one, both) - least) / more / (least / freedom), more, freedom);
}

function meanChange(before: RunSide, after: RunSide): number {
  const changes = curveChanges(before, after, 0).map(({ changeDeg }) => changeDeg.value);
  return changes.length === 0 ? 0 : changes.reduce((sum, value) => sum + value, 0) / changes.length;
}

/** Compares a run with one before it.
 * @throws RangeError if a side's fit is not of its points */
export function compareRuns(before: RunSide, after: RunSide): RunsCompared {
  for (const { fit, points } of [before, after])
    if (fit.n !== points.length)
      throw new RangeError(`wanted the fit of ${points.length} readings, got that of ${fit.n}`);
  const reachDeg = NORMAL_95 * zeroSdDeg(before, after);
  const figures = figureChanges(before, after, reachDeg);
  const curve = curveChanges(before, after, reachDeg);
  const chance = chanceOfOne(before, after, reachDeg);
  const changed = chance === null ? null : chance < UNLIKELY;
  const notes = zeroNotes(before, after, reachDeg);
  return { figures, curve, changed, chance, text: verdict(changed, chance, figures, curve), notes };
}

function verdict(
  changed: boolean | null,
  chance: number | null,
  figures: readonly FigureChange[],
  curve: RunsCompared['curve'],
): string {
  if (changed === null || chance === null) return 'Too few readings to say whether anything changed.';
  const percent = chance < 0.001 ? 'less than 0.1 %' : `${(100 * chance).toFixed(chance < 0.1 ? 1 : 0)} %`;
  if (!changed)
    return `Nothing is shown to have changed: one and the same curve would differ as much from run to run (chance ${percent}).`;
  const told = figures.filter((one) => one.changed).map(changeText);
  const most = curve
    .filter(({ changeDeg }) => changeDeg.low > 0 || changeDeg.high < 0)
    .toSorted((x, y) => Math.abs(y.changeDeg.value) - Math.abs(x.changeDeg.value))[0];
  if (most) told.push(`most at ${most.rpm} rpm, ${amount(most.changeDeg, 'deg')}`);
  const which =
    told.length > 0 ? ` For sure: ${told.join('; ')}.` : ' No single figure tells which part of it.';
  return `The curve did change (chance that it did not: ${percent}).${which}`;
}

const changeText = ({ name, unit, change }: FigureChange): string => `${name} ${amount(change!, unit)}`;

/** "2.1 degrees more (1.4 to 2.8)". */
function amount(change: Figure, unit: FigureChange['unit']): string {
  const { value, low, high } = shownFigure(change, unit);
  const said = (size: number): string => Math.abs(size).toFixed(unit === 'deg' ? 1 : 0);
  const way = unit === 'rpm' ? (value > 0 ? 'later' : 'sooner') : value > 0 ? 'more' : 'less';
  const [near, far] = value > 0 ? [low, high] : [high, low];
  return `${said(value)} ${unit === 'deg' ? 'degrees' : 'rpm'} ${way} (${said(near)} to ${said(far)})`;
}

function zeroNotes(before: RunSide, after: RunSide, reachDeg: number): string[] {
  const [a, b] = [before.corrections, after.corrections];
  if (reachDeg > 0)
    return [
      `The runs rest on different proofs of TDC, good to ${reachDeg.toFixed(1)} degrees together: levels hold that.`,
    ];
  const moved = a.tapeZeroErrorDeg !== b.tapeZeroErrorDeg;
  return moved
    ? ['The tape’s error differs between the runs and was not proved: a change of level may be the tape’s.']
    : [];
}
