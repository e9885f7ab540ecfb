/** The program's mark as a PNG of any size, drawn from its SVG: rectangles, thin lines and one filled triangle. The same
 * SVG gives the same bytes on every machine. Knows only what that drawing uses: `rect`, `path` with M h v l z. */
import { crc32, deflateSync } from 'node:zlib';

type Point = readonly [x: number, y: number];
interface Shape {
  readonly colour: readonly [r: number, g: number, b: number];
  readonly holds: (x: number, y: number) => boolean;
}
interface Mark {
  readonly side: number;
  readonly shapes: readonly Shape[];
}

/** Samples along each side of a pixel: the edges are smooth. */
const SAMPLES = 4;

/** @param svg of a square viewBox
 *  @param sizePx of each side
 *  @param share of the side that the mark fills, over its own ground: 0.7 where a system cuts corners away
 *  @returns an RGB PNG (W3C PNG, section 11.2: colour type 2, 8 bit)
 *  @throws RangeError for an SVG that uses more than is known here */
export function iconPng(svg: string, sizePx: number, share = 1): Buffer {
  const mark = readMark(svg);
  const rows = Buffer.alloc(sizePx * (1 + 3 * sizePx)); // each row begins with its filter: 0, none
  const scale = mark.side / sizePx / share;
  const offset = (mark.side - mark.side / share) / 2;
  for (let y = 0; y < sizePx; y++)
    for (let x = 0; x < sizePx; x++)
      rows.set(pixel(mark, x, y, scale, offset), y * (1 + 3 * sizePx) + 1 + 3 * x);
  return pngOf(sizePx, rows);
}

/** The mean colour over a pixel's samples. Plain loops: a large icon has millions of samples. */
function pixel({ shapes }: Mark, x: number, y: number, scale: number, offset: number): number[] {
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < SAMPLES * SAMPLES; i++) {
    const sx = offset + (x + ((i % SAMPLES) + 0.5) / SAMPLES) * scale;
    const sy = offset + (y + (Math.floor(i / SAMPLES) + 0.5) / SAMPLES) * scale;
    let top = shapes.length - 1;
    while (top > 0 && !shapes[top]!.holds(sx, sy)) top--;
    const { colour } = shapes[top]!;
    sum[0] += colour[0];
    sum[1] += colour[1];
    sum[2] += colour[2];
  }
  return sum.map((part) => Math.round(part / SAMPLES ** 2));
}

function readMark(svg: string): Mark {
  const box = /viewBox="0 0 (\d+) \1"/.exec(svg);
  const shapes = [...svg.matchAll(/<(rect|path)([^>]*)\/>/g)].flatMap(([, kind, text]) =>
    kind === 'rect' ? [rectOf(text!)] : pathsOf(text!),
  );
  if (!box || shapes.length === 0)
    throw new RangeError(`a square SVG of rect and path was wanted, got ${svg}`);
  return { side: Number(box[1]), shapes };
}

function attribute(text: string, name: string): string | null {
  return new RegExp(`(?:^|\\s)${name}="([^"]*)"`).exec(text)?.[1] ?? null;
}

function colourOf(hex: string): Shape['colour'] {
  const found = /^#([\da-f]{2})([\da-f]{2})([\da-f]{2})$/.exec(hex);
  if (!found) throw new RangeError(`a colour like #0c1433 was wanted, got ${hex}`);
  return [parseInt(found[1]!, 16), parseInt(found[2]!, 16), parseInt(found[3]!, 16)];
}

/** A rect is the ground: it goes on past its edges where the mark is drawn smaller. */
const rectOf = (text: string): Shape => ({
  colour: colourOf(attribute(text, 'fill') ?? ''),
  holds: () => true,
});

function pathsOf(text: string): Shape[] {
  const lines = pointsOf(attribute(text, 'd') ?? '');
  const fill = attribute(text, 'fill');
  if (fill) return lines.map((points) => ({ colour: colourOf(fill), holds: within(points) }));
  const half = Number(attribute(text, 'stroke-width')) / 2;
  const colour = colourOf(attribute(text, 'stroke') ?? '');
  return lines.map((points) => ({ colour, holds: alongside(points, half) }));
}

/** The corners of each stretch of a path's data. */
function pointsOf(d: string): Point[][] {
  const lines: Point[][] = [];
  let [x, y] = [0, 0];
  for (const [, command, numbers] of d.matchAll(/([A-Za-z])([^A-Za-z]*)/g)) {
    const [a = 0, b = 0] = [...numbers!.matchAll(/-?[\d.]+/g)].map(Number);
    if (command === 'z') continue;
    if (command === 'M') [x, y] = [a, b];
    else if (command === 'h') x += a;
    else if (command === 'v') y += a;
    else if (command === 'l') [x, y] = [x + a, y + b];
    else throw new RangeError(`a path of M h v l z was wanted, got ${command}`);
    if (command === 'M') lines.push([]);
    lines.at(-1)!.push([x, y]);
  }
  return lines;
}

type Holds = Shape['holds'];

/** Whether a point is inside a convex outline: on the same side of every edge. */
function within(points: readonly Point[]): Holds {
  const edges = points.map(([ax, ay], i) => {
    const [bx, by] = points[(i + 1) % points.length]!;
    return { ax, ay, dx: bx - ax, dy: by - ay };
  });
  return (x, y) => {
    let left = 0;
    for (const { ax, ay, dx, dy } of edges) if (dx * (y - ay) >= dy * (x - ax)) left++;
    return left === 0 || left === edges.length;
  };
}

/** Whether a point is on an upright or level line of some width, ends cut straight. */
function alongside(points: readonly Point[], half: number): Holds {
  const boxes = points.slice(1).map(([bx, by], i) => {
    const [ax, ay] = points[i]!;
    const [wide, high] = ay === by ? [0, half] : [half, 0];
    return {
      left: Math.min(ax, bx) - wide,
      right: Math.max(ax, bx) + wide,
      top: Math.min(ay, by) - high,
      bottom: Math.max(ay, by) + high,
    };
  });
  return (x, y) => {
    for (const { left, right, top, bottom } of boxes)
      if (x >= left && x <= right && y >= top && y <= bottom) return true;
    return false;
  };
}

function pngOf(sizePx: number, rows: Buffer): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(sizePx, 0);
  header.writeUInt32BE(sizePx, 4);
  header.set([8, 2, 0, 0, 0], 8);
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return Buffer.concat([
    signature,
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(rows, { level: 9 })),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

function chunk(type: string, data: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const whole = Buffer.alloc(8 + named.length);
  whole.writeUInt32BE(data.length, 0);
  named.copy(whole, 4);
  whole.writeUInt32BE(crc32(named), 4 + named.length);
  return whole;
}
