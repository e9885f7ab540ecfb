/** What the curve plot shows at one speed, as figures and as words; and its ranges when a stretch is looked at closer. */
import { degText, numberText, rpmFigure } from '../format';
import { lineAt, targetLine, type Picture, type PictureReading, type Ranges } from './picture';
import type { Stretch } from './stretch';

export interface CurveAt {
  readonly rpm: number;
  /** The fitted curve and the edges of its 95 % band; null outside what is known. */
  readonly curve: { readonly advanceDeg: number; readonly low: number; readonly high: number } | null;
  readonly target: { readonly advanceDeg: number; readonly bandDeg: number } | null;
  /** The reading nearest to this speed, at most `nearRpm` away. */
  readonly reading: PictureReading | null;
}

/** @param nearRpm how far away a reading still belongs to the point */
export function curveAt(picture: Picture, rpm: number, nearRpm: number): CurveAt {
  const away = (one: PictureReading): number => Math.abs(one.rpm - rpm);
  const near = picture.readings.filter((one) => away(one) <= nearRpm).sort((a, b) => away(a) - away(b));
  const targetDeg = lineAt(targetLine(picture.target, [rpm, rpm]), rpm);
  return {
    rpm,
    curve: curveValue(picture, rpm),
    target: targetDeg === null ? null : { advanceDeg: targetDeg, bandDeg: picture.target!.bandDeg },
    reading: near[0] ?? null,
  };
}

function curveValue({ curve }: Picture, rpm: number): CurveAt['curve'] {
  const [first, last] = [curve?.rpm[0], curve?.rpm.at(-1)];
  if (!curve || first === undefined || last === undefined || rpm < first || rpm > last) return null;
  const at = (column: readonly number[]): number =>
    lineAt(
      curve.rpm.map((x, i) => [x, column[i]!] as const),
      rpm,
    )!;
  return { advanceDeg: at(curve.advanceDeg), low: at(curve.low), high: at(curve.high) };
}

/** One line: the speed, then whatever is known there. */
export function curveAtWords({ rpm, curve, target, reading }: CurveAt): string {
  const parts = [
    curve
      ? `curve ${degText(curve.advanceDeg)} (${numberText(curve.low, 1)} to ${degText(curve.high)})`
      : 'curve not seen here',
    target ? `target ${degText(target.advanceDeg)} ± ${numberText(target.bandDeg, 1)}°` : '',
    reading ? `read ${degText(reading.advanceDeg)} at ${rpmFigure(reading.rpm)}` : '',
  ];
  return `${rpmFigure(rpm)} rpm: ${parts.filter(Boolean).join(' · ')}`;
}

/** At least so many degrees are in sight, however little the curve moves in a stretch. */
const LEAST_DEG = 6;

/** The ground for a stretch of speed: all of the curve, the readings and the target that lies in it. */
export function closeRanges(picture: Picture, whole: Ranges, [low, high]: Stretch): Ranges {
  const isIn = (rpm: number): boolean => rpm >= low && rpm <= high;
  const { curve } = picture;
  const band = picture.target?.bandDeg ?? 0;
  const target = targetLine(picture.target, [low, high]);
  const at = target.length ? [low, high].map((rpm) => [rpm, lineAt(target, rpm)!] as const) : [];
  const degrees = [
    ...picture.readings.filter(({ rpm }) => isIn(rpm)).map(({ advanceDeg }) => advanceDeg),
    ...(curve?.rpm ?? []).flatMap((rpm, i) => (isIn(rpm) ? [curve!.low[i]!, curve!.high[i]!] : [])),
    ...[...target, ...at].flatMap(([rpm, deg]) => (isIn(rpm) ? [deg - band, deg + band] : [])),
  ];
  if (!degrees.length) return { rpm: [low, high], deg: whole.deg };
  const [least, most] = [Math.min(...degrees), Math.max(...degrees)];
  const room = Math.max(0.5, (LEAST_DEG - (most - least)) / 2);
  return { rpm: [low, high], deg: [Math.floor(least - room), Math.ceil(most + room)] };
}
