/** `tape`: a damper's diameter in, a timing tape at true scale as SVG out. Touches the machine only through CommandIo. */
import {
  BadUsage,
  type Command,
  type CommandIo,
  numberOf,
  oneOf,
  type OptionValues,
  textOf,
} from './cli-command';
import type { RotorSense } from '../engine';
import { layTape, TAPE_LIMITS, type TapeSpec } from '../tape/tape';
import type { LengthUnit } from '../tape/tape-parts';
import { type Paper, tapeSheets } from '../tape/tape-sheets';
import { tapeSvg } from '../tape/tape-svg';

const MM_PER_INCH = 25.4;
const UNITS: readonly LengthUnit[] = ['mm', 'in'];
const SENSES: readonly RotorSense[] = ['clockwise', 'anticlockwise'];
const PAPERS: readonly (Paper | 'none')[] = ['none', 'a4', 'letter'];
const SIDE = { from: 0, to: TAPE_LIMITS.mostDeg, whole: true } as const;

/** @throws BadUsage if it is missing, no number, or no damper's */
function diameterMmOf(values: OptionValues, unit: LengthUnit): number {
  const given = numberOf(values, 'diameter', { from: 0, to: 1e6 });
  if (given === null) throw new BadUsage('tape: --diameter is wanted, the damper measured across');
  const { leastDiameterMm, mostDiameterMm } = TAPE_LIMITS;
  const diameterMm = unit === 'in' ? given * MM_PER_INCH : given;
  if (diameterMm >= leastDiameterMm && diameterMm <= mostDiameterMm) return diameterMm;
  const hint = unit === 'mm' && given * MM_PER_INCH >= leastDiameterMm ? '; for inches say --unit in' : '';
  throw new BadUsage(
    `--diameter must be a damper's, ${leastDiameterMm} to ${mostDiameterMm} mm across, got ${given} ${unit}${hint}`,
  );
}

function specOf(values: OptionValues, unit: LengthUnit): TapeSpec {
  const cylinders = numberOf(values, 'cylinders', { from: 1, to: 24, whole: true });
  const strokes = oneOf(values, 'stroke', ['4', '2'] as const, '4') === '2' ? 2 : 4;
  const beforeDeg = numberOf(values, 'before', SIDE) ?? SIDE.to;
  const afterDeg = numberOf(values, 'after', SIDE) ?? SIDE.to;
  if (beforeDeg + afterDeg < 10)
    throw new BadUsage(`--before and --after must make 10 degrees or more, got ${beforeDeg + afterDeg}`);
  return {
    diameterMm: diameterMmOf(values, unit),
    sense: oneOf(values, 'sense', SENSES, 'clockwise'),
    ...{ beforeDeg, afterDeg },
    firing: cylinders === null ? null : { cylinders, strokes },
  };
}

function outputName(files: readonly string[], values: OptionValues): string {
  if (files.length > 0)
    throw new BadUsage(`tape reads no file, got "${files[0]}"; the drawing is named by --out`);
  const out = textOf(values, 'out');
  if (!out) throw new BadUsage('tape: --out FILE.svg is wanted');
  if (!/\.svg$/i.test(out)) throw new BadUsage(`--out must name a .svg file, got "${out}"`);
  return out;
}

/** "tape.svg", "tape-2.svg", … */
const sheetName = (out: string, i: number): string =>
  i === 0 ? out : out.replace(/\.svg$/i, `-${i + 1}.svg`);

function run(files: readonly string[], values: OptionValues, io: CommandIo): Promise<boolean> {
  const out = outputName(files, values);
  const unit = oneOf(values, 'unit', UNITS, 'mm');
  const paper = oneOf(values, 'paper', PAPERS, 'none');
  const tape = layTape(specOf(values, unit));
  const drawings = paper === 'none' ? [tapeSvg(tape, unit)] : tapeSheets(tape, paper, unit);
  drawings.forEach((drawing, i) => io.openOutput(sheetName(out, i)).write(drawing));
  return Promise.resolve(true);
}

export const tapeCommand: Command = {
  name: 'tape',
  usage: 'tape --diameter D [--unit mm|in] [options] --out FILE.svg',
  summary: "Draws a timing tape for a damper's diameter at true scale, as SVG",
  options: {
    diameter: { type: 'string', value: 'D', help: 'the damper measured across, where the tape will lie' },
    unit: {
      type: 'string',
      value: 'mm|in',
      help: 'of the diameter, and of the bar to measure; mm unless told',
    },
    sense: {
      type: 'string',
      value: 'clockwise|anticlockwise',
      help: 'the way the crank turns, seen from the front; clockwise unless told',
    },
    before: {
      type: 'string',
      value: 'DEG',
      help: 'degrees before top dead centre, 0 to 180; 180 unless told',
    },
    after: { type: 'string', value: 'DEG', help: 'degrees after it, 0 to 180; 180 unless told' },
    cylinders: {
      type: 'string',
      value: 'N',
      help: 'adds marks for the other cylinders, at equal spacing, in the order of firing',
    },
    stroke: {
      type: 'string',
      value: '4|2',
      help: 'four-stroke or two-stroke, for those marks; 4 unless told',
    },
    paper: {
      type: 'string',
      value: 'none|a4|letter',
      help: 'cuts the tape into strips for that paper, lying; further sheets are FILE-2.svg and so on',
    },
    out: { type: 'string', value: 'FILE.svg', help: 'where the drawing goes' },
  },
  more:
    "The drawing's units are millimetres and its width and height say so: print it at 100 %, nothing fitted to the\n" +
    'page, and measure the bar on it. The tape goes all the way round unless --before or --after say less; its ends\n' +
    'then meet, which proves the diameter.',
  run,
};
