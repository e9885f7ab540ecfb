/** The curve drawn for paper: readings, fit and target in, an SVG text out. Its marks are those of the screen: crosses,
 * a solid curve in its tint, a hatched target, witness lines at the corners. */
import type { Figure } from '../fit';
import { axesPart, frameFor, HEIGHT, INK, plain, PLOT, WIDTH, type CurveDrawing } from './curve-frame';
import { beforePart, fitPart, readingsPart, targetPart } from './curve-marks';
import { escapeXml, tag, textAt } from './svg-parts';

/** What stands about the plot: its title above and its figures below. */
const FROM_Y = PLOT.top - 14;
const TO_Y = PLOT.bottom + 60;

/** Draws it. An empty run gives the axes and the target alone.
 * @param bare without title and figures, for a page that has them beside it */
export function curveSvg(drawing: CurveDrawing, bare = false): string {
  const frame = frameFor(drawing);
  const inside = [
    targetPart(drawing.target, frame),
    beforePart(drawing.before ?? null, frame),
    fitPart(drawing.fit, frame),
    readingsPart(drawing, frame),
  ];
  const parts = [
    tag('title', {}, escapeXml(drawing.title)),
    DEFINITIONS,
    tag('rect', { width: WIDTH, height: HEIGHT, fill: INK.plate }),
    ...(bare ? [] : [headPart(drawing), figuresPart(drawing)]),
    axesPart(frame),
    tag('g', { 'clip-path': 'url(#plot)' }, inside.join('')),
  ];
  return tag(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: bare ? `0 ${FROM_Y} ${WIDTH} ${TO_Y - FROM_Y}` : `0 0 ${WIDTH} ${HEIGHT}`,
      width: WIDTH,
      height: bare ? TO_Y - FROM_Y : HEIGHT,
      'font-family': 'system-ui, sans-serif',
      'font-size': 15,
      fill: INK.scribe,
    },
    parts.join('\n'),
  );
}

const headPart = ({ title, subtitle }: CurveDrawing): string =>
  textAt(PLOT.left, 40, title, { 'font-size': 24, 'font-weight': 650 }) +
  textAt(PLOT.left, 68, subtitle, { fill: INK.soft });

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
