/** A tape cut into strips for a printer's paper: figures in; one drawing for each sheet, and a document and its style
 * that print them at true scale, out. */
import { barSvg, type LengthUnit, stretchSvg, tapeWidthMm, tapeWords } from './tape-parts';
import type { Tape } from './tape';
import { drawingOf, escaped, lineOf, wordsAt } from './svg-text';

export type Paper = 'a4' | 'letter';
/** Lying on its long side, millimetres.
 * @source ISO 216, A4 (from memory); US letter: 11 by 8.5 inches */
export const PAPER_MM: Readonly<Record<Paper, readonly [width: number, height: number]>> = {
  a4: [297, 210],
  letter: [279.4, 215.9],
};

/** A browser draws a picture over whole pixels of 1/96 inch: one that is such a size is not stretched to them. */
const PIXEL_MM = 25.4 / 96;
const wholePixels = (valueMm: number): number => Math.floor(valueMm / PIXEL_MM + 1e-6) * PIXEL_MM;

/** What printers commonly leave white. */
const MARGIN_MM = 12;
/** The strip before runs on under the next by so much. */
const TAB_MM = 10;
const HEAD_MM = 4;
const GAP_MM = 6;
const BAR_MM = 12;
const LINE_MM = 4;

/** One strip: what it shows, and how far it runs on beyond its joint. */
export interface Strip {
  readonly fromMm: number;
  readonly jointMm: number;
  readonly toMm: number;
}

/** Strips no longer than `roomMm`, parted at lines of the tape. A tape that goes round keeps a tab at its last end. */
export function stripsOf(tape: Tape, roomMm: number): Strip[] {
  const lineMm = tape.stepDeg * tape.mmPerDeg;
  // The first joint falls on a line even where the tape's end does not.
  const first = tape.marks[tape.spec.sense === 'clockwise' ? 0 : tape.marks.length - 1]!.xMm;
  const mostMm = Math.floor((roomMm - TAB_MM - first) / lineMm) * lineMm;
  const strips: Strip[] = [];
  for (let fromMm = 0; fromMm < tape.lengthMm - 1e-6; fromMm = strips.at(-1)!.jointMm) {
    const isLast = tape.lengthMm - fromMm <= (tape.goesRound ? mostMm : roomMm) + 1e-6;
    const jointMm = isLast ? tape.lengthMm : fromMm + mostMm + (fromMm === 0 ? first : 0);
    const hasTab = !isLast || tape.goesRound;
    strips.push({ fromMm, jointMm, toMm: jointMm + (hasTab ? Math.min(TAB_MM, tape.lengthMm) : 0) });
  }
  return strips;
}

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const jointName = (i: number): string => LETTERS[i % LETTERS.length]!;

/** One drawing a sheet, each the size of the paper to a pixel, with the bar on every one. */
export function tapeSheets(tape: Tape, paper: Paper, unit: LengthUnit): string[] {
  const [width, height] = PAPER_MM[paper];
  const strips = stripsOf(tape, width - 2 * MARGIN_MM);
  const rowMm = HEAD_MM + tapeWidthMm(tape) + GAP_MM;
  const wordsMm = tapeWords(tape, unit).length * LINE_MM;
  const rows = Math.floor((height - 2 * MARGIN_MM - BAR_MM - wordsMm) / rowMm);
  const sheets = Math.ceil(strips.length / rows);
  return Array.from({ length: sheets }, (_, sheet) => {
    const drawn = strips.slice(sheet * rows, (sheet + 1) * rows).map((strip, row) => {
      const i = sheet * rows + row;
      return stripSvg(tape, strip, { i, of: strips.length, topMm: MARGIN_MM + row * rowMm });
    });
    const footMm = height - MARGIN_MM - BAR_MM - wordsMm;
    const title = `Timing tape, sheet ${sheet + 1} of ${sheets}`;
    const inside = drawn.join('') + foot(tape, unit, footMm);
    return drawingOf(wholePixels(width), wholePixels(height), title, inside);
  });
}

function stripSvg(tape: Tape, strip: Strip, place: { i: number; of: number; topMm: number }): string {
  const { i, of, topMm } = place;
  const top = topMm + HEAD_MM;
  const bottom = top + tapeWidthMm(tape);
  const [left, joint] = [MARGIN_MM, MARGIN_MM + strip.jointMm - strip.fromMm];
  const joins = tape.goesRound || of > 1;
  const before = i > 0 ? jointName(i - 1) : tape.goesRound ? jointName(of - 1) : null;
  const after = strip.toMm > strip.jointMm ? jointName(i) : null;
  const name = (letter: string, x: number): string =>
    wordsAt(x, top - 0.8, 3, letter, { 'font-weight': 'bold' });
  const cut = (x: number, dash: string): string =>
    lineOf([x, top - 4], [x, bottom + 3], 0.2, { class: 'joint', 'stroke-dasharray': dash });
  return [
    stretchSvg(tape, { fromMm: strip.fromMm, toMm: strip.toMm, leftMm: left, topMm: top }),
    joins
      ? wordsAt(left + 4, top - 0.8, 2.6, stripWords(i, of, before, after), { 'text-anchor': 'start' })
      : '',
    before === null ? '' : cut(left, 'none') + name(before, left + 1.6),
    after === null ? '' : cut(joint, '1 1') + name(after, joint + 1.6),
  ].join('');
}

function stripWords(i: number, of: number, before: string | null, after: string | null): string {
  const parts = [`Strip ${i + 1} of ${of}.`];
  if (before !== null) parts.push(`Cut its left end on line ${before}.`);
  if (after !== null) parts.push(`The next goes over the tab, line on line ${after}.`);
  return parts.join(' ');
}

const foot = (tape: Tape, unit: LengthUnit, topMm: number): string =>
  barSvg(unit, MARGIN_MM, topMm) +
  tapeWords(tape, unit)
    .map((line, i) =>
      wordsAt(MARGIN_MM, topMm + BAR_MM + 2 + i * LINE_MM, 2.6, line, { 'text-anchor': 'start' }),
    )
    .join('');

/** How sheets stand on paper: each on a page of its own, nothing scaled. */
export function printStyle(paper: Paper): string {
  const [width, height] = PAPER_MM[paper];
  return (
    `@page{size:${width}mm ${height}mm;margin:0}html,body{margin:0;padding:0}` +
    'svg{display:block}.sheet{break-after:page;overflow:hidden}.sheet:last-child{break-after:auto}' +
    // A hair less than the page, so that rounding never makes an empty one.
    `.sheet{height:${height - 0.5}mm}`
  );
}

/** The sheets as a document without a style: `printStyle` is put in by whoever prints it, where its policy lets no
 * style stand in a document. */
export function printDocument(sheets: readonly string[], title: string): string {
  return (
    `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>${escaped(title)}</title></head><body>` +
    sheets.map((sheet) => `<div class="sheet">${sheet}</div>`).join('') +
    '</body></html>'
  );
}
