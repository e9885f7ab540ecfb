/** What the curve plot shows, as plain data, and the ranges and lines made of it. Knows rpm and degrees, no canvas. */
import type { Target } from '../../core/job';

export interface PictureReading {
  readonly id: string;
  readonly rpm: number;
  readonly rpmSd: number | null;
  /** After corrections, crank degrees before TDC. */
  readonly advanceDeg: number;
  readonly moved: boolean;
  readonly slip: boolean;
}

/** The fitted curve: columns of equal length, rpm rising; the edges of its 95 % band. */
export interface PictureCurve {
  readonly rpm: readonly number[];
  readonly advanceDeg: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
}

export interface PictureCorner {
  readonly rpm: number;
  readonly advanceDeg: number;
  readonly name: string;
}

/** A curve of another run laid over this one. */
export interface OverlaidLine {
  readonly letter: string;
  /** Dashes and gaps, CSS pixels. */
  readonly dashPx: readonly number[];
  /** rpm and degrees, rpm rising */
  readonly points: readonly (readonly [number, number])[];
}

export interface Picture {
  readonly readings: readonly PictureReading[];
  readonly curve: PictureCurve | null;
  readonly corners: readonly PictureCorner[];
  readonly target: Target | null;
  /** Another curve beside it, as a thin broken line: rpm and degrees, rpm rising. */
  readonly beside?: readonly (readonly [number, number])[];
  /** Curves of other runs, each told from the rest by its dashes and its letter. */
  readonly overlaid?: readonly OverlaidLine[];
  /** Speeds that must be in view: the steps' ends, idle. */
  readonly spanRpm: readonly number[];
}

export interface Ranges {
  readonly rpm: readonly [number, number];
  readonly deg: readonly [number, number];
}

const roundOut = (low: number, high: number, unit: number): [number, number] => [
  Math.floor(low / unit) * unit,
  Math.ceil(high / unit) * unit,
];

/** The stretch of speed and advance that holds all there is to see, in round numbers.
 * An empty picture gives the ground on which most curves lie. */
export function rangesOf(picture: Picture): Ranges {
  const corners = picture.target?.corners ?? [];
  const band = picture.target?.bandDeg ?? 0;
  const lines = [picture.beside ?? [], ...(picture.overlaid ?? []).map(({ points }) => points)].flat();
  const speeds = [
    ...[...picture.readings, ...corners, ...picture.corners].map(({ rpm }) => rpm),
    ...lines.map(([rpm]) => rpm),
  ];
  const angles = [
    ...picture.readings.map(({ advanceDeg }) => advanceDeg),
    ...corners.flatMap(({ advanceDeg }) => [advanceDeg - band, advanceDeg + band]),
    ...picture.corners.map(({ advanceDeg }) => advanceDeg),
    ...lines.map(([, advanceDeg]) => advanceDeg),
  ];
  const rpms = [...speeds, ...picture.spanRpm];
  const [lowRpm, highRpm] = rpms.length ? [Math.min(...rpms), Math.max(...rpms)] : [500, 4000];
  const [lowDeg, highDeg] = angles.length ? [Math.min(...angles), Math.max(...angles)] : [0, 40];
  const rpm = roundOut(lowRpm - 80, highRpm + 80, 250);
  return { rpm: [Math.max(0, rpm[0]), rpm[1]], deg: roundOut(Math.min(0, lowDeg), highDeg + 2.5, 5) };
}

/** A target as a line over a whole range: level outside its corners. Empty where there are none. */
export function targetLine(target: Target | null, range: readonly [number, number]): [number, number][] {
  const corners = target?.corners ?? [];
  const [first, last] = [corners[0], corners.at(-1)];
  if (!first || !last) return [];
  const inside = corners.map(({ rpm, advanceDeg }): [number, number] => [rpm, advanceDeg]);
  const before: [number, number][] = first.rpm > range[0] ? [[range[0], first.advanceDeg]] : [];
  const after: [number, number][] = last.rpm < range[1] ? [[range[1], last.advanceDeg]] : [];
  return [...before, ...inside, ...after];
}

/** The curve's columns for the plot: rpm, low, high, advance, so that the line lies over its band. Two empty ends where no curve is known. */
export function curveColumns(
  picture: Picture,
  range: readonly [number, number],
): [number[], ...(number | null)[][]] {
  const { curve } = picture;
  if (!curve || curve.rpm.length < 2) return [[...range], [null, null], [null, null], [null, null]];
  return [[...curve.rpm], [...curve.low], [...curve.high], [...curve.advanceDeg]];
}

/** A line's height at x, level outside its ends; null where it has no point. @param points x rising */
export function lineAt(points: readonly (readonly [number, number])[], x: number): number | null {
  const [first, last] = [points[0], points.at(-1)];
  if (!first || !last) return null;
  if (x <= first[0]) return first[1];
  if (x >= last[0]) return last[1];
  const i = points.findIndex(([px]) => px > x);
  const [[x0, y0], [x1, y1]] = [points[i - 1]!, points[i]!];
  return y0 + ((x - x0) / (x1 - x0)) * (y1 - y0);
}
