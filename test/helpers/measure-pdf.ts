/** Measures a PDF as a ruler would a print: bytes in; each page's size and its upright lines, in millimetres from the
 * left and upper edge, out. Reads the drawing commands themselves (ISO 32000-1, 8.4 and 8.5, from memory); knows no
 * browser and no tape. */
import { inflateSync } from 'node:zlib';

const MM_PER_POINT = 25.4 / 72;

export interface UprightLine {
  readonly xMm: number;
  readonly topMm: number;
  readonly lengthMm: number;
}

export interface PdfPage {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly lines: readonly UprightLine[];
}

type Matrix = readonly [number, number, number, number, number, number];
const IDENTITY: Matrix = [1, 0, 0, 1, 0, 0];

/** `a` first, then `b`. */
const joined = (a: Matrix, b: Matrix): Matrix => [
  a[0] * b[0] + a[1] * b[2],
  a[0] * b[1] + a[1] * b[3],
  a[2] * b[0] + a[3] * b[2],
  a[2] * b[1] + a[3] * b[3],
  a[4] * b[0] + a[5] * b[2] + b[4],
  a[4] * b[1] + a[5] * b[3] + b[5],
];
const at = (m: Matrix, x: number, y: number): readonly [number, number] => [
  m[0] * x + m[2] * y + m[4],
  m[1] * x + m[3] * y + m[5],
];

/** Walks one page's commands. */
function linesOf(commands: string, pageHeightPoints: number): UprightLine[] {
  const lines: UprightLine[] = [];
  const kept: Matrix[] = [];
  let matrix = IDENTITY;
  let from: readonly [number, number] | null = null;
  let numbers: number[] = [];
  for (const word of commands.split(/\s+/)) {
    if (/^[+-]?(\d+\.?\d*|\.\d+)$/.test(word)) {
      numbers.push(Number(word));
      continue;
    }
    const [x = 0, y = 0] = numbers.slice(-2);
    if (word === 'q') kept.push(matrix);
    else if (word === 'Q') matrix = kept.pop() ?? IDENTITY;
    else if (word === 'cm') matrix = joined(numbers.slice(-6) as unknown as Matrix, matrix);
    else if (word === 'm') from = at(matrix, x, y);
    else if (word === 'l' && from) {
      const to = at(matrix, x, y);
      if (Math.abs(to[0] - from[0]) < 1e-6)
        lines.push({
          xMm: from[0] * MM_PER_POINT,
          topMm: (pageHeightPoints - Math.max(from[1], to[1])) * MM_PER_POINT,
          lengthMm: Math.abs(to[1] - from[1]) * MM_PER_POINT,
        });
      from = to;
    }
    numbers = [];
  }
  return lines;
}

function inflated(stream: Buffer): string {
  try {
    return inflateSync(stream).toString('latin1');
  } catch {
    return ''; // a font or picture kept another way
  }
}

/** @throws Error if the file has not one drawing for each page */
export function measurePdf(pdf: Buffer): PdfPage[] {
  const text = pdf.toString('latin1');
  const boxes = [...text.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/g)];
  const drawings = [...text.matchAll(/stream\r?\n([\s\S]*?)\r?\nendstream/g)]
    .map((match) => inflated(Buffer.from(match[1]!, 'latin1')))
    .filter((commands) => /\bcm\s[\s\S]*\sl\s/.test(commands));
  if (boxes.length === 0 || boxes.length !== drawings.length)
    throw new Error(`a drawing for each page was wanted, got ${drawings.length} for ${boxes.length}`);
  return boxes.map((box, i) => ({
    widthMm: Number(box[1]) * MM_PER_POINT,
    heightMm: Number(box[2]) * MM_PER_POINT,
    lines: linesOf(drawings[i]!, Number(box[2])),
  }));
}
