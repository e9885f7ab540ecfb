/** Puts a uPlot into an element and keeps its size, its colours and its data's pace: one drawing a frame at most. The
 * plot package is fetched when the first plot is wanted; the plot's place stands from the start. */
import type uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { paletteAt, watchTheme, type Palette } from './palette';
import { words, type Pen, type Point } from './scribe';

export interface Mounted {
  /** Asks for new data at the next frame; the last asked wins. */
  setData(data: uPlot.AlignedData): void;
  destroy(): void;
}

/** Options from the palette in force, so that a colour is never older than the theme. */
export type OptionsFrom = (palette: () => Palette) => Omit<uPlot.Options, 'width' | 'height'>;

/** A plot that fills its element.
 * @param element its size is the plot's; it must have one from its layout, not from the plot */
export function mountPlot(element: HTMLElement, options: OptionsFrom, data: uPlot.AlignedData): Mounted {
  let palette = paletteAt(element);
  let plot: uPlot | null = null;
  let waiting: uPlot.AlignedData | null = data;
  let frame = 0;
  let gone = false;
  const draw = (): void => {
    frame = 0;
    if (!plot) return; // drawn when it comes
    if (waiting) plot.setData(waiting);
    else plot.redraw(false, true);
    waiting = null;
  };
  const ask = (): void => {
    frame ||= requestAnimationFrame(draw);
  };
  const sizes = new ResizeObserver(() => plot?.setSize(sizeOf(element)));
  const unwatch = watchTheme(() => {
    palette = paletteAt(element);
    ask();
  });
  const begin = (Plot: typeof uPlot): void => {
    if (gone) return;
    plot = new Plot({ ...options(() => palette), ...sizeOf(element) }, waiting ?? data, element);
    waiting = null;
    sizes.observe(element);
  };
  void import('uplot').then(
    ({ default: Plot }) => begin(Plot),
    () =>
      element.append(
        'The plot could not be loaded: the place this page came from does not answer. Reload the page to try again.',
      ),
  );
  return {
    setData(next) {
      waiting = next;
      ask();
    },
    destroy() {
      gone = true;
      cancelAnimationFrame(frame);
      sizes.disconnect();
      unwatch();
      plot?.destroy();
    },
  };
}

const sizeOf = (element: HTMLElement): { width: number; height: number } => ({
  width: Math.max(80, Math.floor(element.clientWidth)),
  height: Math.max(60, Math.floor(element.clientHeight)),
});

/** The pen for a plot's own canvas. */
export const penFor = (plot: uPlot, palette: Palette): Pen => ({
  ctx: plot.ctx,
  palette,
  scale: devicePixelRatio,
  topPx: plot.bbox.top,
  bottomPx: plot.bbox.top + plot.bbox.height,
});

/** Where values lie on the canvas. */
export const pointAt = (plot: uPlot, x: number, y: number): Point => [
  plot.valToPos(x, 'x', true),
  plot.valToPos(y, 'y', true),
];

/** Keeps drawing inside the plotting area. */
export function inside(plot: uPlot, draw: () => void): void {
  const { left, top, width, height } = plot.bbox;
  plot.ctx.save();
  plot.ctx.beginPath();
  plot.ctx.rect(left, top, width, height);
  plot.ctx.clip();
  draw();
  plot.ctx.restore();
}

/** Room about the plotting area, CSS pixels: what lies over the plot has to know it. */
export const ROOM = { top: 10, right: 20, bottom: 32, left: 52 } as const;

/** Axes as a tape: ticks long at the figures, thin lines across, figures in the page's type. */
export function tapeAxes(palette: () => Palette): uPlot.Axis[] {
  const shared = (): uPlot.Axis => ({
    stroke: () => palette().soft,
    font: '600 13px system-ui, sans-serif',
    grid: { stroke: () => palette().band, width: 1 },
    ticks: { stroke: () => palette().soft, width: 2, size: 8 },
    border: { show: true, stroke: () => palette().soft, width: 2 },
    gap: 4,
  });
  const values = (_: uPlot, splits: number[]): string[] =>
    splits.map((value) => `${value}`.replace('-', '−'));
  return [
    { ...shared(), space: 64, size: ROOM.bottom, values },
    { ...shared(), space: 32, size: ROOM.left, values },
  ];
}

/** The units, in the corners of the plotting area where no line runs: x at the right, y at the top. */
export function unitWords(plot: uPlot, palette: Palette, names: readonly [x: string, y: string]): void {
  const pen = penFor(plot, palette);
  const { left, top, width, height } = plot.bbox;
  const [dx, dy] = [6 * pen.scale, 11 * pen.scale];
  words(pen, [left + width - dx, top + height - dy], names[0], palette.soft, 'right');
  words(pen, [left + dx, top + dy], names[1], palette.soft);
}

/** Told where the mouse points and which stretch it draws a frame about, both in the x axis' unit. */
export interface LookAt {
  at(x: number): void;
  /** null: a double click, for all of it */
  stretch(shown: readonly [number, number] | null): void;
}

/** The plot package's own pointer, without its own marks: the page draws the line looked at. */
export const lookCursor = (look: LookAt | null): uPlot.Cursor =>
  look
    ? {
        x: false,
        y: false,
        points: { show: false },
        drag: { x: true, y: false, setScale: false },
        bind: { dblclick: () => () => (look.stretch(null), null) },
      }
    : { show: false };

/** A frame narrower than this was a click. */
const LEAST_FRAME_PX = 12;

export const lookHooks = (look: LookAt | null): uPlot.Hooks.Arrays =>
  look
    ? {
        setCursor: [
          (plot) => {
            const left = plot.cursor.left ?? -1;
            if (left >= 0) look.at(plot.posToVal(left, 'x'));
          },
        ],
        setSelect: [
          (plot) => {
            const { left, width } = plot.select;
            if (width >= LEAST_FRAME_PX)
              look.stretch([plot.posToVal(left, 'x'), plot.posToVal(left + width, 'x')]);
            if (width > 0) plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
          },
        ],
      }
    : {};
