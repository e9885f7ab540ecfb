/** Where things stand on the drawing of a curve: its data in, scales, round ticks and the axes out. */
import type { CurveFit } from '../fit';
import type { Target } from '../job';
import { roundTicks, scale, tag, textAt, type Scale } from './svg-parts';

export interface CurveReading {
  readonly rpm: number;
  readonly rpmSd: number | null;
  /** Corrections applied. */
  readonly advanceDeg: number;
  readonly steady: boolean | null;
}

export interface CurveDrawing {
  readonly title: string;
  readonly subtitle: string;
  readonly readings: readonly CurveReading[];
  readonly fit: CurveFit | null;
  readonly target: Target | null;
  /** Another run's curve, drawn thin and dashed under this one. */
  readonly before?: CurveFit | null;
}

export const WIDTH = 1000;
export const HEIGHT = 660;
export const PLOT = { left: 80, right: 970, top: 96, bottom: 540 };
export const INK = { scribe: '#131d45', soft: '#4a5377', dye: '#2743a8', band: '#c9d0ec', plate: '#ffffff' };

export interface Frame {
  readonly x: Scale;
  readonly y: Scale;
  readonly xTicks: readonly number[];
  readonly yTicks: readonly number[];
}

/** Holds every reading and corner of the target, and an advance of zero or the lowest below it. */
export function frameFor({ readings, target }: CurveDrawing): Frame {
  const corners = target?.corners ?? [];
  const bandDeg = target?.bandDeg ?? 0;
  const rpm = [...readings, ...corners].map((each) => each.rpm);
  const deg = [
    ...readings.map(({ advanceDeg }) => advanceDeg),
    ...corners.flatMap(({ advanceDeg }) => [advanceDeg - bandDeg, advanceDeg + bandDeg]),
  ];
  const xTicks = roundTicks(least(rpm, 500) - 100, most(rpm, 4000) + 100, 9);
  const yTicks = roundTicks(Math.min(0, least(deg, 0)), most(deg, 40) + 1, 8);
  const x = scale(xTicks[0]!, xTicks.at(-1)!, PLOT.left, PLOT.right);
  const y = scale(yTicks[0]!, yTicks.at(-1)!, PLOT.bottom, PLOT.top);
  return { x, y, xTicks, yTicks };
}

const least = (values: readonly number[], none: number): number =>
  values.reduce((found, value) => Math.min(found, value), values[0] ?? none);
const most = (values: readonly number[], none: number): number =>
  values.reduce((found, value) => Math.max(found, value), values[0] ?? none);
/** A number with a true minus sign. */
export const plain = (value: number): string => String(value).replace('-', '\u2212');

/** Ticks, figures and units. */
export function axesPart({ x, y, xTicks, yTicks }: Frame): string {
  const across = yTicks.map(
    (deg) =>
      tag('path', { d: `M${PLOT.left} ${y(deg).toFixed(1)}H${PLOT.right}`, stroke: INK.band }) +
      textAt(PLOT.left - 10, y(deg) + 5, plain(deg), { 'text-anchor': 'end' }),
  );
  const along = xTicks.map(
    (rpm) =>
      tag('path', { d: `M${x(rpm).toFixed(1)} ${PLOT.bottom}v8`, stroke: INK.scribe, 'stroke-width': 2 }) +
      textAt(x(rpm), PLOT.bottom + 26, plain(rpm), { 'text-anchor': 'middle' }),
  );
  const edge = `M${PLOT.left} ${PLOT.top}V${PLOT.bottom}H${PLOT.right}`;
  return [
    ...across,
    ...along,
    tag('path', { d: edge, fill: 'none', stroke: INK.scribe, 'stroke-width': 2 }),
    textAt((PLOT.left + PLOT.right) / 2, PLOT.bottom + 50, 'engine speed, rpm', { 'text-anchor': 'middle' }),
    textAt(0, 0, 'advance, crank degrees before TDC', {
      'text-anchor': 'middle',
      transform: `translate(28 ${(PLOT.top + PLOT.bottom) / 2}) rotate(-90)`,
    }),
  ].join('');
}
