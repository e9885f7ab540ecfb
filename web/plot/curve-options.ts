/** How a curve with its band and the target is drawn, wherever it stands: what to draw and its ranges in, the plot
 * package's options out. */
import type uPlot from 'uplot';
import { drawMarks, drawTarget } from './curve-draw';
import { lookCursor, lookHooks, ROOM, tapeAxes, type LookAt, type OptionsFrom, unitWords } from './mount';
import type { Picture, Ranges } from './picture';

/** Asked anew at each drawing: the plot stays mounted while its picture changes. The columns are `curveColumns`'. */
export const curveOptions =
  (picture: () => Picture, ranges: () => Ranges, look: LookAt | null = null): OptionsFrom =>
  (palette) => ({
    legend: { show: false },
    cursor: lookCursor(look),
    padding: [ROOM.top, ROOM.right, 0, 0],
    scales: {
      x: { time: false, range: () => [...ranges().rpm] },
      y: { range: () => [...ranges().deg] },
    },
    axes: tapeAxes(palette),
    series: [
      {},
      { stroke: () => palette().band, width: 1, points: { show: false } },
      { stroke: () => palette().band, width: 1, points: { show: false } },
      { stroke: () => palette().scribe, width: 2.5, points: { show: false } },
    ],
    bands: [{ series: [2, 1], fill: () => palette().band }],
    hooks: {
      ...lookHooks(look),
      drawAxes: [
        (plot: uPlot) => {
          drawTarget(plot, palette(), picture());
          unitWords(plot, palette(), ['rpm', '° before TDC']);
        },
      ],
      draw: [(plot: uPlot) => drawMarks(plot, palette(), picture())],
    },
  });
