/** The curve drawn for paper: readings, fit and target in, an SVG text out. Its marks are those of the screen: crosses,
 * a solid curve in its tint, a hatched target, witness lines at the corners. */
import type { CurveFit, Figure } from '../../core/fit';
import type { Target } from '../../core/job';
import { escapeXml, pathThrough, roundTicks, scale, tag, textAt, type Scale } from './svg-parts';

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
}

export const WIDTH = 1000;
export const HEIGHT = 660;
const PLOT = { left: 80, right: 970, top: 96, bottom: 540 };
const INK = { scribe: '#131d45', soft: '#4a5377', dye: '#2743a8', band: '#c9d0ec', plate: '#ffffff' };

interface Frame {
  readonly x: Scale;
  readonly y: Scale;
  readonly xTicks: readonly number[];
  readonly yTicks: readonly number[];
}

/** Draws it. An empty run gives the axes and the target alone. */
export function curveSvg(drawing: CurveDrawing): string {
  const frame = frameFor(drawing);
  const inside = [
    targetPart(drawing.target, frame),
    fitPart(drawing.fit, frame),
    readingsPart(drawing, frame),
  ];
  const parts = [
    tag('title', {}, escapeXml(drawing.title)),
    DEFINITIONS,
    tag('rect', { width: WIDTH, height: HEIGHT, fill: INK.plate }),
    textAt(PLOT.left, 40, drawing.title, { 'font-size': 24, 'font-weight': 650 }),
    textAt(PLOT.left, 68, drawing.subtitle, { fill: INK.soft }),
    axesPart(frame),
    tag('g', { 'clip-path': 'url(#plot)' }, inside.join('')),
    figuresPart(drawing),
  ];
  return tag(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${WIDTH} ${HEIGHT}`,
      width: WIDTH,
      height: HEIGHT,
      'font-family': 'system-ui, sans-serif',
      'font-size': 15,
      fill: INK.scribe,
    },
    parts.join('\n'),
  );
}

const DEFINITIONS = tag(
  'defs',
  {},
  tag(
    'pattern',
    { id: 'hatch', width: 8, height: 8, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
    tag('path', { d: 'M0 0V8', stroke: INK.dye, 'stroke-width': 1.5 }),
  ) +
    tag(
      'clipPath',
      { id: 'plot' },
      tag('rect', {
        x: PLOT.left,
        y: PLOT.top,
        width: PLOT.right - PLOT.left,
        height: PLOT.bottom - PLOT.top,
      }),
    ),
);

/** Holds every reading and corner of the target, and an advance of zero or the lowest below it. */
function frameFor({ readings, target }: CurveDrawing): Frame {
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
const plain = (value: number): string => String(value).replace('-', '\u2212');

function axesPart({ x, y, xTicks, yTicks }: Frame): string {
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

/** Straight between its corners, level outside them. */
function targetPart(target: Target | null, { x, y }: Frame): string {
  if (!target || target.corners.length === 0) return '';
  const corners = [...target.corners].sort((a, b) => a.rpm - b.rpm);
  const ends = [
    { ...corners[0]!, rpm: Math.min(x.from, corners[0]!.rpm) },
    ...corners,
    { ...corners.at(-1)!, rpm: Math.max(x.to, corners.at(-1)!.rpm) },
  ];
  const line = (shiftDeg: number): [number, number][] =>
    ends.map(({ rpm, advanceDeg }) => [x(rpm), y(advanceDeg + shiftDeg)]);
  const strip = [...line(target.bandDeg), ...line(-target.bandDeg).reverse()];
  return (
    tag('path', { d: `${pathThrough(strip)}Z`, fill: 'url(#hatch)', opacity: 0.35, class: 'target band' }) +
    tag('path', {
      d: pathThrough(line(0)),
      fill: 'none',
      stroke: INK.dye,
      'stroke-width': 1.5,
      'stroke-dasharray': '8 6',
      class: 'target',
    })
  );
}

const SAMPLES = 240;

function fitPart(fit: CurveFit | null, { x, y }: Frame): string {
  if (!fit) return '';
  const rpms = Array.from({ length: SAMPLES + 1 }, (_, i) => x.from + ((x.to - x.from) * i) / SAMPLES);
  const shown = rpms.flatMap((rpm) => {
    const [deg, band] = [fit.predict(rpm), fit.band(rpm)];
    return deg === null ? [] : [{ at: x(rpm), deg, low: band?.low ?? deg, high: band?.high ?? deg }];
  });
  const up = shown.map(({ at, high }): [number, number] => [at, y(high)]);
  const down = shown.map(({ at, low }): [number, number] => [at, y(low)]).reverse();
  const curve = shown.map(({ at, deg }): [number, number] => [at, y(deg)]);
  const strip = pathThrough([...up, ...down]);
  return [
    strip && tag('path', { d: `${strip}Z`, fill: INK.band, opacity: 0.7, class: 'band' }),
    curve.length > 1 &&
      tag('path', {
        d: pathThrough(curve),
        fill: 'none',
        stroke: INK.scribe,
        'stroke-width': 2.5,
        class: 'curve',
      }),
    ...fit.corners.map((corner) => cornerPart(x(corner.rpm), y(corner.advanceDeg), corner)),
  ]
    .filter(Boolean)
    .join('');
}

const cornerPart = (atX: number, atY: number, { rpm, advanceDeg }: CurveFit['corners'][number]): string =>
  tag('path', {
    d: `M${atX.toFixed(1)} ${(atY - 18).toFixed(1)}v36`,
    stroke: INK.scribe,
    'stroke-width': 1.5,
  }) +
  textAt(atX + 6, atY + 30, `${Math.round(rpm)} rpm, ${plain(Number(advanceDeg.toFixed(1)))}°`, {
    'font-size': 13,
  });

function readingsPart({ readings, fit }: CurveDrawing, { x, y }: Frame): string {
  return readings
    .map(({ rpm, rpmSd, advanceDeg, steady }, i) => {
      const struck = fit?.setAside.includes(i) ?? false;
      const shape = steady === false ? 'M0 -6L6 0L0 6L-6 0Z' : 'M-5 0H5M0 -5V5';
      const spread = rpmSd === null ? 0 : x(rpm + rpmSd) - x(rpm);
      return tag(
        'path',
        {
          d: `${shape}M${-spread.toFixed(1)} 0H${spread.toFixed(1)}${struck ? 'M-9 7L9 -7' : ''}`,
          transform: `translate(${x(rpm).toFixed(1)} ${y(advanceDeg).toFixed(1)})`,
          fill: 'none',
          stroke: INK.scribe,
          'stroke-width': 1.75,
          class: struck ? 'reading set-aside' : steady === false ? 'reading moved' : 'reading',
        },
        tag('title', {}, escapeXml(`${Math.round(rpm)} rpm, ${plain(Number(advanceDeg.toFixed(1)))}°`)),
      );
    })
    .join('');
}

function figuresPart({ fit, target }: CurveDrawing): string {
  const figures: [string, string][] = [
    ['Initial', figureText(fit?.initialDeg ?? null, 1, '°')],
    ['Start', figureText(fit?.startRpm ?? null, 0, ' rpm')],
    ['All-in', figureText(fit?.allInRpm ?? null, 0, ' rpm')],
    ['Total', figureText(fit?.totalDeg ?? null, 1, '°')],
    ['Range', figureText(fit?.rangeDeg ?? null, 1, '°')],
  ];
  const wide = (PLOT.right - PLOT.left) / figures.length;
  const key = target ? 'Hatched: target and band. ' : '';
  return (
    figures
      .map(([name, text], i) => {
        const at = PLOT.left + i * wide;
        return (
          textAt(at, 614, name, { fill: INK.soft, 'font-size': 13 }) +
          textAt(at, 633, text, { 'font-size': 13 })
        );
      })
      .join('') +
    textAt(
      PLOT.left,
      653,
      `${key}Intervals and tint: 95 %. Diamond: the speed moved. Struck through: set aside.`,
      {
        fill: INK.soft,
        'font-size': 12,
      },
    )
  );
}

function figureText(figure: Figure | null, places: number, unit: string): string {
  if (!figure) return 'not seen yet';
  const [value, low, high] = [figure.value, figure.low, figure.high].map((each) =>
    plain(Number(each.toFixed(places))),
  );
  return `${value}${unit} (${low} to ${high})`;
}
