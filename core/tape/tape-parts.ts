/** The parts of a tape as drawn: a stretch of it at a place on the paper, the bar to measure, the words beside it. */
import type { Tape } from './tape';
import { lineOf, mm, wordsAt } from './svg-text';

/** Rows of the tape, millimetres from its upper edge. */
const ROW = { number: 12, words: 15.4, tensNumber: 18.6, firing: 20 } as const;
const LINE_MM = { zero: 9, ten: 8, five: 6, one: 4 } as const;
const THICK_MM = { zero: 0.6, ten: 0.35, five: 0.3, one: 0.2 } as const;

/** How wide the tape is across: more where a second mark set stands on it. */
export const tapeWidthMm = ({ firingMarks }: Pick<Tape, 'firingMarks'>): number =>
  firingMarks.length > 0 ? 30 : 17;

/** Part of a tape and where its left end lies on the paper. A tape that goes round begins again after its end. */
export interface Stretch {
  readonly fromMm: number;
  readonly toMm: number;
  readonly leftMm: number;
  readonly topMm: number;
}

/** Words nearer to an end than this stay inside it. */
const END_MM = 4;

/** A mark drawn at its place; called for each turn on which the mark lies in the stretch. */
function eachIn(
  tape: Tape,
  { fromMm, toMm, leftMm }: Stretch,
  xMm: number,
  draw: (x: number, anchor: string) => string,
): string {
  const turns = tape.goesRound ? [0, tape.lengthMm] : [0];
  return turns
    .map((turn) => xMm + turn)
    .filter((x, i) => x >= fromMm - 1e-6 && x <= toMm + 1e-6 && !(i > 0 && x - tape.lengthMm < 1e-6))
    .map((x) => {
      const anchor = x - fromMm < END_MM ? 'start' : toMm - x < END_MM ? 'end' : 'middle';
      return draw(leftMm + x - fromMm, anchor);
    })
    .join('');
}

/** The stretch's edges and everything on it. */
export function stretchSvg(tape: Tape, stretch: Stretch): string {
  const { leftMm, topMm, fromMm, toMm } = stretch;
  const [right, bottom] = [leftMm + toMm - fromMm, topMm + tapeWidthMm(tape)];
  return [
    lineOf([leftMm, topMm], [right, topMm], 0.15, { class: 'edge' }),
    lineOf([leftMm, bottom], [right, bottom], 0.15, { class: 'edge' }),
    scaleSvg(tape, stretch),
    sideWords(tape, stretch),
    ...tape.firingMarks.map((mark) => firingSvg(tape, stretch, mark)),
  ].join('');
}

function scaleSvg(tape: Tape, stretch: Stretch): string {
  const top = stretch.topMm;
  return tape.marks
    .map(({ xMm, deg, rank, label }) =>
      eachIn(tape, stretch, xMm, (x, anchor) => {
        const line = lineOf([x, top], [x, top + LINE_MM[rank]], THICK_MM[rank], { class: 'deg', 'data-deg': String(deg) }); // prettier-ignore
        if (label === null) return line;
        return line + wordsAt(x, top + ROW.number, 3, label, { 'text-anchor': anchor, 'font-weight': 'bold' }); // prettier-ignore
      }),
    )
    .join('');
}

/** "before TDC" and "after TDC", far enough from zero and each on its side. */
function sideWords(tape: Tape, stretch: Stretch): string {
  const zero = tape.marks.find(({ deg }) => deg === 0);
  if (!zero) return '';
  const away = Math.max(15, 20 * tape.mmPerDeg);
  const ahead = tape.spec.sense === 'clockwise' ? away : -away;
  const y = stretch.topMm + ROW.words;
  const words = (xMm: number, text: string): string =>
    xMm < 8 || xMm > tape.lengthMm - 8
      ? ''
      : eachIn(tape, stretch, xMm, (x, anchor) => wordsAt(x, y, 2.6, text, { 'text-anchor': anchor }));
  return (
    words(zero.xMm + ahead, 'before TDC') +
    words(zero.xMm - ahead, 'after TDC') +
    words(zero.xMm - 2.5 * ahead, tape.spec.sense === 'clockwise' ? 'turns \u2192' : '\u2190 turns') +
    eachIn(tape, stretch, zero.xMm, (x, anchor) =>
      wordsAt(x, y, 2.6, 'TDC of No. 1', { 'text-anchor': anchor }),
    )
  );
}

function firingSvg(tape: Tape, stretch: Stretch, mark: Tape['firingMarks'][number]): string {
  const bottom = stretch.topMm + tapeWidthMm(tape);
  const top = stretch.topMm + ROW.firing;
  const main = eachIn(tape, stretch, mark.xMm, (x, anchor) => {
    const name = mark.places.map((place) => (place === 1 ? 'No. 1' : ordinal(place))).join(' + ');
    const side = anchor === 'middle' ? 'start' : anchor;
    return (
      lineOf([x, top], [x, bottom], 0.5, { class: 'firing', 'data-deg': mm(mark.deg) }) +
      wordsAt(x + (side === 'end' ? -1 : 1), top + 3, 2.6, name, { 'text-anchor': side })
    );
  });
  const tens = mark.tens.map(({ xMm, deg }) =>
    eachIn(
      tape,
      stretch,
      xMm,
      (x, anchor) =>
        lineOf([x, bottom - 3], [x, bottom], 0.3, { class: 'firing-ten' }) +
        wordsAt(x, bottom - 3.6, 2.2, String(deg), { 'text-anchor': anchor }),
    ),
  );
  return main + tens.join('');
}

const ordinal = (place: number): string => {
  const ending = place % 100 > 10 && place % 100 < 14 ? 'th' : (['th', 'st', 'nd', 'rd'][place % 10] ?? 'th');
  return `${place}${ending} to fire`;
};

export type LengthUnit = 'mm' | 'in';
const MM_PER_INCH = 25.4;

/** The bar to be measured after printing: its length by unit, millimetres. */
export const barLengthMm = (unit: LengthUnit): number => (unit === 'in' ? 4 * MM_PER_INCH : 100);
const barWords = (unit: LengthUnit): string => (unit === 'in' ? '4 in (101.6 mm)' : '100 mm');

/** A bar of known length with what to do with it. */
export function barSvg(unit: LengthUnit, leftMm: number, topMm: number): string {
  const right = leftMm + barLengthMm(unit);
  return [
    lineOf([leftMm, topMm + 2], [right, topMm + 2], 0.3, { class: 'bar' }),
    lineOf([leftMm, topMm], [leftMm, topMm + 4], 0.2, { class: 'bar-end' }),
    lineOf([right, topMm], [right, topMm + 4], 0.2, { class: 'bar-end' }),
    wordsAt(leftMm, topMm + 7.5, 2.8, `Measure this bar after printing: ${barWords(unit)} from end to end`, { 'text-anchor': 'start' }), // prettier-ignore
  ].join('');
}

/** A length in the person's unit. */
export const lengthText = (valueMm: number, unit: LengthUnit, places: number): string =>
  unit === 'in' ? `${(valueMm / MM_PER_INCH).toFixed(places + 1)} in` : `${valueMm.toFixed(places)} mm`;

/** What the tape is for, in a few lines. */
export function tapeWords(
  { spec, lengthMm, mmPerDeg, goesRound, firingMarks }: Tape,
  unit: LengthUnit,
): string[] {
  return [
    `Damper ${lengthText(spec.diameterMm, unit, 1)} across; 1 degree is ${lengthText(mmPerDeg, unit, 3)}; the tape is ${lengthText(lengthMm, unit, 1)} long.`,
    `For a crank that turns ${spec.sense} seen from the front; its lower edge to the front of the engine.`,
    ...(firingMarks.length > 0
      ? ['Lower marks: tops of the cylinders in the order of firing, and tens of degrees before each.']
      : []),
    ...(goesRound ? ['Its ends must meet: a gap or an overlap means another diameter.'] : []),
    'Prove the top dead centre of No. 1 before you trust a number. Engine off while you stick it on.',
  ];
}
