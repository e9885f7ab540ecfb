/** The timing tape as figures and as drawings, measured back from the drawings' own units. */
import { describe, expect, test } from 'vitest';
import { barVerdict } from '../../../core/tape/bar';
import { layTape, type Tape, type TapeSpec } from '../../../core/tape/tape';
import { PAPER_MM, stripsOf, tapeSheets } from '../../../core/tape/tape-sheets';
import { tapeSvg } from '../../../core/tape/tape-svg';
import { barLength, degreeLines, paperSize } from '../../helpers/measure-tape';

const ROUND: TapeSpec = {
  ...{ diameterMm: 203.2, sense: 'clockwise', beforeDeg: 180, afterDeg: 180, firing: null },
};
const placeOf = (tape: Tape, deg: number): number => tape.marks.find((mark) => mark.deg === deg)!.xMm;

describe('the layout', () => {
  test('one degree on a damper of 203.2 mm is 1.773 mm (π · 203.2 / 360), a whole turn 638.37 mm', () => {
    const tape = layTape(ROUND);
    expect(tape.mmPerDeg).toBeCloseTo(1.773, 3);
    expect(tape.lengthMm).toBeCloseTo(638.37, 2);
    expect(tape.marks).toHaveLength(361);
  });

  // A rim as drawn on paper: the reader at its top, front below; a point at angle p, clockwise from the top, lies to
  // the right. The crank still has θ to go, so the zero mark stands θ short of the pointer at the top.
  test.each(['clockwise', 'anticlockwise'] as const)(
    'turning %s, the line at the pointer 30 degrees before TDC is the 30',
    (sense) => {
      const tape = layTape({ ...ROUND, sense });
      const zeroAngle = sense === 'clockwise' ? -30 : 30; // from the top, clockwise counted on
      const atPointer = placeOf(tape, 0) + (0 - zeroAngle) * tape.mmPerDeg;
      expect(tape.marks.find((mark) => Math.abs(mark.xMm - atPointer) < 1e-9)!.label).toBe('30');
    },
  );

  test('numbers after TDC carry the minus that is keyed in, as a true minus sign', () => {
    const labels = layTape({ ...ROUND, beforeDeg: 20, afterDeg: 20 }).marks.flatMap(
      ({ label }) => label ?? [],
    );
    expect(labels).toEqual(['\u221220', '\u221210', '0', '10', '20']);
  });

  test('lines keep apart on a small round: every second degree on 80 mm (0.698 mm a degree)', () => {
    expect(layTape({ ...ROUND, diameterMm: 80 }).stepDeg).toBe(2);
    expect(layTape({ ...ROUND, diameterMm: 203.2 }).stepDeg).toBe(1);
  });

  // Common practice: eight cylinders of a four-stroke fire every 720 / 8 = 90 degrees; the mark of the next to fire
  // comes to the pointer 90 degrees later, so it stands at 90 after. Two of them share each mark.
  test.each([
    [8, 4, { '0': [1, 5], '-90': [2, 6], '-180': [3, 7], '90': [4, 8] }],
    [6, 4, { '0': [1, 4], '-120': [2, 5], '120': [3, 6] }],
    [5, 4, { '0': [1], '-144': [2], '72': [3], '-72': [4], '144': [5] }],
    [3, 4, { '0': [1], '120': [2], '-120': [3] }],
    [2, 2, { '0': [1], '-180': [2] }],
    [1, 4, { '0': [1] }],
  ] as const)('%i cylinders, %i strokes: the tops at equal spacing', (cylinders, strokes, places) => {
    const tape = layTape({ ...ROUND, firing: { cylinders, strokes } });
    expect(Object.fromEntries(tape.firingMarks.map(({ deg, places: p }) => [String(deg), p]))).toEqual(
      places,
    );
  });

  test('the tens before another cylinder’s top lie on its early side and end before the next one', () => {
    const tape = layTape({ ...ROUND, firing: { cylinders: 24, strokes: 4 } }); // 30 degrees apart
    const mark = tape.firingMarks.find(({ deg }) => deg === -30)!;
    expect(mark.tens.map(({ deg }) => deg)).toEqual([10, 20]);
    expect(mark.tens[0]!.xMm - mark.xMm).toBeCloseTo(10 * tape.mmPerDeg, 9);
  });

  test.each([
    [{ diameterMm: 39 }, /40 to 1000 mm across/],
    [{ diameterMm: NaN }, /40 to 1000 mm across/],
    [{ beforeDeg: 181 }, /0 to 180 degrees/],
    [{ beforeDeg: 5, afterDeg: 4 }, /10 degrees or more/],
    [{ firing: { cylinders: 2.5, strokes: 4 } }, /1 to 24 cylinders/],
  ] as const)('refuses %j', (wrong, words) => {
    expect(() => layTape({ ...ROUND, ...wrong })).toThrow(words);
    expect(() => layTape({ ...ROUND, ...wrong })).toThrow(RangeError);
  });
});

describe('the long drawing, measured by its own units', () => {
  test.each([
    [203.2, 'mm'],
    [203.2, 'in'],
    [101.6, 'mm'],
    [400, 'mm'],
  ] as const)('on %f mm (%s) every line stands where π·D·θ/360 puts it', (diameterMm, unit) => {
    const svg = tapeSvg(layTape({ ...ROUND, diameterMm }), unit);
    const lines = degreeLines(svg);
    const oneDegMm = (Math.PI * diameterMm) / 360;
    for (const { deg, xMm } of lines)
      expect(Math.abs(xMm - lines[0]!.xMm - (deg + 180) * oneDegMm)).toBeLessThan(2e-4);
    const length = lines.at(-1)!.xMm - lines[0]!.xMm;
    expect(length / (Math.PI * diameterMm)).toBeCloseTo(1, 5);
    expect(paperSize(svg).widthMm).toBeCloseTo(Math.PI * diameterMm, 3);
    expect(barLength(svg)).toBeCloseTo(unit === 'in' ? 101.6 : 100, 6); // 4 in of 25.4 mm
  });

  test('a short tape leaves room for the bar and the words', () => {
    const svg = tapeSvg(layTape({ ...ROUND, beforeDeg: 10, afterDeg: 0 }), 'mm');
    expect(paperSize(svg).widthMm).toBe(145);
  });
});

describe('the sheets', () => {
  const papers = ['a4', 'letter'] as const;
  test.each(
    papers.flatMap((paper) =>
      [203.2, 1000].flatMap((diameterMm) =>
        ([360, 77] as const).map((span) => [paper, diameterMm, span] as const),
      ),
    ),
  )(
    '%s, damper %f mm, %i degrees: each is the paper’s size, and nothing is wider than its room',
    (paper, diameterMm, span) => {
      const side = span === 360 ? { beforeDeg: 180, afterDeg: 180 } : { beforeDeg: 60, afterDeg: 17 };
      const tape = layTape({ ...ROUND, diameterMm, ...side });
      for (const sheet of tapeSheets(tape, paper, 'mm')) {
        const size = paperSize(sheet);
        for (const [i, mm] of [size.widthMm, size.heightMm].entries()) {
          expect(PAPER_MM[paper][i]! - mm).toBeGreaterThanOrEqual(-1e-4);
          expect(PAPER_MM[paper][i]! - mm).toBeLessThan(25.4 / 96); // a pixel
        }
        expect(barLength(sheet)).toBeCloseTo(100, 6);
        for (const { xMm, yMm } of degreeLines(sheet)) {
          expect(xMm).toBeGreaterThan(11.9);
          expect(xMm).toBeLessThan(size.widthMm - 11.9);
          expect(yMm).toBeLessThan(size.heightMm - 12);
        }
      }
    },
  );

  test.each([
    ['clockwise', 180, 180, 203.2],
    ['anticlockwise', 180, 180, 203.2],
    ['clockwise', 61, 17, 75], // every second degree: the ends fall between lines
    ['anticlockwise', 121, 33, 600],
  ] as const)(
    '%s, %i before, %i after, on %f mm: strips join at lines and lose nothing',
    (sense, beforeDeg, afterDeg, diameterMm) => {
      const tape = layTape({ ...ROUND, sense, beforeDeg, afterDeg, diameterMm });
      const strips = stripsOf(tape, 250);
      expect(strips[0]!.fromMm).toBe(0);
      expect(strips.at(-1)!.jointMm).toBe(tape.lengthMm);
      strips.slice(1).forEach((strip, i) => expect(strip.fromMm).toBe(strips[i]!.jointMm));
      for (const { jointMm, fromMm, toMm } of strips) {
        expect(toMm - fromMm).toBeLessThanOrEqual(250);
        if (jointMm !== tape.lengthMm)
          expect(tape.marks.some(({ xMm }) => Math.abs(xMm - jointMm) < 1e-6)).toBe(true);
      }
      expect(strips.at(-1)!.toMm > tape.lengthMm).toBe(tape.goesRound); // its own tab for the first strip
    },
  );

  test('laid joint on joint the strips show every degree of the turn in its place', () => {
    const tape = layTape(ROUND);
    const [sheet] = tapeSheets(tape, 'a4', 'mm');
    const strips = stripsOf(tape, 297 - 24);
    const seen = new Map<number, number>();
    const rows = [...new Set(degreeLines(sheet!).map(({ yMm }) => yMm))];
    rows.forEach((y, i) => {
      for (const { deg, xMm, yMm } of degreeLines(sheet!))
        if (yMm === y) seen.set(deg, strips[i]!.fromMm + xMm - 12);
    });
    expect(seen.size).toBe(361);
    for (const [deg, xMm] of seen)
      // The tab after the last joint shows the beginning again, one turn on.
      expect(((((xMm - (deg + 180) * tape.mmPerDeg) % tape.lengthMm) + 1) % tape.lengthMm) - 1).toBeCloseTo(
        0,
        3,
      );
  });
});

describe('the bar, measured on the print', () => {
  test('within what a ruler reads is true', () => {
    expect(barVerdict(100, 100.2).isTrue).toBe(true);
  });
  test('at 97 of 100 mm says what that does: 30 on the tape is 29.1 at the crank', () => {
    const { isTrue, text } = barVerdict(100, 97);
    expect(isTrue).toBe(false);
    expect(text).toMatch(/97\.0 % of true scale.* says 30°, the crank stands at 29\.1°/);
  });
  test('cannot have no length', () => {
    expect(() => barVerdict(100, 0)).toThrow(RangeError);
  });
});
