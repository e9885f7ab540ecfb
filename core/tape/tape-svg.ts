/** A tape as one long drawing: figures in, SVG text out. Its units are millimetres and its width on paper says so. */
import { barSvg, type LengthUnit, stretchSvg, tapeWidthMm, tapeWords } from './tape-parts';
import type { Tape } from './tape';
import { drawingOf, mm, wordsAt } from './svg-text';

const BELOW_MM = 5;
const BAR_MM = 12;
const LINE_MM = 4;
/** The words below want so much. */
const LEAST_WIDTH_MM = 145;

/** The whole tape in one piece, as wide as it is long, the bar and a few words below it. */
export function tapeSvg(tape: Tape, unit: LengthUnit): string {
  const lines = tapeWords(tape, unit);
  const barTop = tapeWidthMm(tape) + BELOW_MM;
  const width = Math.max(tape.lengthMm, LEAST_WIDTH_MM);
  const height = barTop + BAR_MM + lines.length * LINE_MM + 1;
  const words = lines.map((line, i) =>
    wordsAt(0, barTop + BAR_MM + 2 + i * LINE_MM, 2.6, line, { 'text-anchor': 'start' }),
  );
  const inside =
    `<style>@page{size:${mm(width)}mm ${mm(height)}mm;margin:0}</style>` +
    stretchSvg(tape, { fromMm: 0, toMm: tape.lengthMm, leftMm: 0, topMm: 0 }) +
    barSvg(unit, 0, barTop) +
    words.join('');
  return `<?xml version="1.0" encoding="UTF-8"?>\n${drawingOf(width, height, 'Timing tape', inside)}\n`;
}

/** The strip alone, to be looked at. */
export const stripPicture = (tape: Tape): string =>
  drawingOf(
    tape.lengthMm,
    tapeWidthMm(tape),
    'Timing tape',
    stretchSvg(tape, { fromMm: 0, toMm: tape.lengthMm, leftMm: 0, topMm: 0 }),
  );
