/** Draws a picture of a curve over a plot: target strip under it, readings and corners on it. */
import type uPlot from 'uplot';
import { inside, penFor, pointAt } from './mount';
import type { Palette } from './palette';
import { targetLine, type OverlaidLine, type Picture, type PictureReading } from './picture';
import { cross, diamond, hatch, line, spread, strikeThrough, witness, words, type Pen } from './scribe';

const rangeOf = (plot: uPlot): readonly [number, number] => [plot.scales.x!.min!, plot.scales.x!.max!];

/** The target's hatched strip with its dashed middle; nothing without a target. */
export function drawTarget(plot: uPlot, palette: Palette, picture: Pick<Picture, 'target'>): void {
  const pen = penFor(plot, palette);
  const at = (offsetDeg: number) =>
    targetLine(picture.target, rangeOf(plot)).map(([rpm, deg]) => pointAt(plot, rpm, deg + offsetDeg));
  const band = picture.target?.bandDeg ?? 0;
  inside(plot, () => {
    hatch(pen, at(band), at(-band));
    line(pen, at(0), palette.soft, 2, [10, 6]);
  });
}

function drawReading(plot: uPlot, pen: Pen, reading: PictureReading): void {
  const { palette } = pen;
  const color = reading.slip ? palette.soft : palette.scribe;
  const at = pointAt(plot, reading.rpm, reading.advanceDeg);
  const halfWidth = pointAt(plot, reading.rpm + 2 * (reading.rpmSd ?? 0), 0)[0] - at[0];
  // A spread narrower than the mark would only blur it.
  if (halfWidth > 6 * pen.scale) spread(pen, at, halfWidth, color);
  if (reading.moved) diamond(pen, at, color);
  else cross(pen, at, color);
  if (reading.slip) strikeThrough(pen, at, color);
}

/** The curve beside, thin and broken, so that it is never taken for the one that counts. */
function drawBeside(plot: uPlot, pen: Pen, { beside = [] }: Picture): void {
  const points = beside.map(([rpm, deg]) => pointAt(plot, rpm, deg));
  if (points.length > 1) line(pen, points, pen.palette.scribe, 1.5, [2, 5]);
}

/** Letters stand at so many places along a curve, each run's a little on from the one before. */
const LETTERS = [0.16, 0.5, 0.84] as const;
const LETTER_STEP = 0.07;

function drawOverlaid(plot: uPlot, pen: Pen, { letter, dashPx, points }: OverlaidLine, i: number): void {
  if (points.length < 2) return;
  const at = points.map(([rpm, deg]) => pointAt(plot, rpm, deg));
  line(pen, at, pen.palette.scribe, 2, [...dashPx]);
  for (const share of LETTERS) {
    const place = Math.floor(((share + LETTER_STEP * i) % 1) * (at.length - 1));
    words(pen, at[place]!, letter, pen.palette.scribe, 'center', 14);
  }
}

/** The curve beside as a broken line, readings as scribed marks, corners as witness lines. */
export function drawMarks(plot: uPlot, palette: Palette, picture: Picture): void {
  const pen = penFor(plot, palette);
  inside(plot, () => {
    drawBeside(plot, pen, picture);
    (picture.overlaid ?? []).forEach((one, i) => drawOverlaid(plot, pen, one, i));
    for (const reading of picture.readings) drawReading(plot, pen, reading);
    const [low, high] = rangeOf(plot);
    for (const corner of picture.corners.filter(({ rpm }) => rpm >= low && rpm <= high)) {
      const [x, y] = pointAt(plot, corner.rpm, corner.advanceDeg);
      const far = x > plot.bbox.left + plot.bbox.width * 0.62;
      // A rising curve leaves the room below right of a corner free, and above left of it.
      witness(pen, [x, y], corner.name, far ? 'above' : 'below', far ? 'right' : 'left');
    }
  });
}
