/** Marks scribed on the plate: crosses, diamonds, hatched strips, witness lines. Canvas pixels in, ink out; every
 * length is given in CSS pixels and times the pen's scale. Knows no rpm and no degrees. */
import type { Palette } from './palette';

export type Point = readonly [x: number, y: number];

export interface Pen {
  readonly ctx: CanvasRenderingContext2D;
  readonly palette: Palette;
  /** Canvas pixels to a CSS pixel. */
  readonly scale: number;
  /** Edges of the plotting area, canvas pixels: no words above or below. */
  readonly topPx: number;
  readonly bottomPx: number;
}

function trace(ctx: CanvasRenderingContext2D, points: readonly Point[]): void {
  points.forEach(([x, y], i) => (i ? ctx.lineTo(x, y) : ctx.moveTo(x, y)));
}

/** One open line through points. */
export function line(
  pen: Pen,
  points: readonly Point[],
  color: string,
  widthPx: number,
  dashPx: number[] = [],
): void {
  const { ctx, scale } = pen;
  ctx.save();
  ctx.beginPath();
  trace(ctx, points);
  ctx.strokeStyle = color;
  ctx.lineWidth = widthPx * scale;
  ctx.setLineDash(dashPx.map((length) => length * scale));
  ctx.stroke();
  ctx.restore();
}

/** A reading: a cross of 9 px. */
export function cross(pen: Pen, [x, y]: Point, color: string): void {
  const arm = 4.5 * pen.scale;
  line(pen, [[x - arm, y - arm], [x + arm, y + arm]], color, 2); // prettier-ignore
  line(pen, [[x - arm, y + arm], [x + arm, y - arm]], color, 2); // prettier-ignore
}

/** A reading taken while the speed moved: a hollow diamond. */
export function diamond(pen: Pen, [x, y]: Point, color: string): void {
  const arm = 5.5 * pen.scale;
  line(pen, [[x, y - arm], [x + arm, y], [x, y + arm], [x - arm, y], [x, y - arm], [x + arm, y]], color, 2); // prettier-ignore
}

/** The stroke through a reading set aside as a slip. */
export function strikeThrough(pen: Pen, [x, y]: Point, color: string): void {
  const reach = 10 * pen.scale;
  line(pen, [[x - reach, y], [x + reach, y]], color, 2); // prettier-ignore
}

/** How far a figure may lie from where it is drawn: a thin line with an end at each side. */
export function spread(pen: Pen, [x, y]: Point, halfWidth: number, color: string): void {
  const end = 3 * pen.scale;
  line(pen, [[x - halfWidth, y], [x + halfWidth, y]], color, 1); // prettier-ignore
  for (const side of [-1, 1])
    line(pen, [[x + side * halfWidth, y - end], [x + side * halfWidth, y + end]], color, 1); // prettier-ignore
}

/** A strip between two lines, hatched across: edges thin, diagonal scribing 9 px apart. */
export function hatch(pen: Pen, upper: readonly Point[], lower: readonly Point[]): void {
  const { ctx, palette, scale } = pen;
  if (upper.length < 2) return;
  const all = [...upper, ...[...lower].reverse()];
  const xs = all.map(([x]) => x);
  const ys = all.map(([, y]) => y);
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  ctx.save();
  ctx.beginPath();
  trace(ctx, all);
  ctx.closePath();
  ctx.clip();
  ctx.beginPath();
  const step = 9 * scale;
  for (let x = Math.floor((left - (bottom - top)) / step) * step; x < right; x += step)
    trace(ctx, [[x, bottom], [x + bottom - top, top]]); // prettier-ignore
  ctx.strokeStyle = palette.band;
  ctx.lineWidth = 2 * scale;
  ctx.stroke();
  ctx.restore();
  for (const edge of [upper, lower]) line(pen, edge, palette.soft, 1);
}

/** Words on the plate, with the ground's colour behind them so that lines do not run through. */
export function words(
  pen: Pen,
  [x, y]: Point,
  text: string,
  color: string,
  align: CanvasTextAlign = 'left',
  sizePx = 13,
): void {
  const { ctx, palette, scale } = pen;
  ctx.save();
  ctx.font = `600 ${sizePx * scale}px ${palette.font}`;
  ctx.textAlign = align;
  ctx.textBaseline = 'middle';
  ctx.lineJoin = 'round';
  ctx.lineWidth = 4 * scale;
  ctx.strokeStyle = palette.plate;
  ctx.strokeText(text, x, y);
  ctx.fillStyle = color;
  ctx.fillText(text, x, y);
  ctx.restore();
}

/** A corner: a short upright line through the curve, its figure beside it on the side where the curve is not. */
export function witness(
  pen: Pen,
  [x, y]: Point,
  text: string,
  side: 'above' | 'below',
  align: CanvasTextAlign,
): void {
  const { scale, palette } = pen;
  line(pen, [[x, y - 14 * scale], [x, y + 14 * scale]], palette.scribe, 2); // prettier-ignore
  const offset = align === 'left' ? 6 : align === 'right' ? -6 : 0;
  const wantedY = y + (side === 'above' ? -24 : 24) * scale;
  const wordsY = Math.min(pen.bottomPx - 10 * scale, Math.max(pen.topPx + 10 * scale, wantedY));
  words(pen, [x + offset * scale, wordsY], text, palette.scribe, align);
}
