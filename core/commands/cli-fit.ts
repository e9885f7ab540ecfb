/** `fit`: files of readings in, one JSON line each out, with the curve's figures, 95 % intervals and what was set
 * aside. Text in, text out; knows no files of its own. */
import { BadInput, BadUsage, type Command, type CommandIo, type OptionValues } from './cli-command';
import { CsvError, LONGEST_CSV } from '../files/csv';
import { readReadings } from '../files/csv-readings';
import { fitCurve, type CurveFit, type Figure } from '../fit';

/** Digits that readings can carry: a tenth of an rpm, a thousandth of a degree. */
export const RPM_DIGITS = 1;
export const DEG_DIGITS = 3;

export const rounded = (value: number, digits: number): number => {
  const text = Number(value.toFixed(digits));
  return text === 0 ? 0 : text;
};

export const figureOf = (figure: Figure | null, digits: number): Figure | null =>
  figure && {
    value: rounded(figure.value, digits),
    low: rounded(figure.low, digits),
    high: rounded(figure.high, digits),
  };

const numberOf = (value: number | null, digits: number): number | null =>
  value === null ? null : rounded(value, digits);

/** The fit of one file as its JSON line. Keys in the order given here; `set_aside` holds the places of data rows,
 * counted from 1 without the header; `corners` holds objects of rpm and advance_deg. */
export function fitJson(file: string, fit: CurveFit): string {
  return JSON.stringify({
    file,
    n: fit.n,
    initial_deg: figureOf(fit.initialDeg, DEG_DIGITS),
    start_rpm: figureOf(fit.startRpm, RPM_DIGITS),
    all_in_rpm: figureOf(fit.allInRpm, RPM_DIGITS),
    total_deg: figureOf(fit.totalDeg, DEG_DIGITS),
    range_deg: figureOf(fit.rangeDeg, DEG_DIGITS),
    corners: fit.corners.map(({ rpm, advanceDeg }) => ({
      rpm: rounded(rpm, RPM_DIGITS),
      advance_deg: rounded(advanceDeg, DEG_DIGITS),
    })),
    slope_deg_per_1000rpm: numberOf(fit.slopeDegPer1000Rpm, DEG_DIGITS),
    residual_sd_deg: numberOf(fit.residualSdDeg, DEG_DIGITS),
    set_aside: fit.setAside.map((place) => place + 1),
    notes: fit.notes,
  });
}

/** A figure with its interval as a line of words. */
export const figureLine = (name: string, figure: Figure | null, digits: number, unit: string): string =>
  figure === null
    ? `  ${name.padEnd(8)} not seen`
    : `  ${name.padEnd(8)} ${figure.value.toFixed(digits)} ${unit} (${figure.low.toFixed(digits)} to ${figure.high.toFixed(digits)})`;

/** The fit of one file in words. */
export function fitText(file: string, fit: CurveFit): string {
  return [
    `${file}: ${fit.n} readings`,
    figureLine('initial', fit.initialDeg, 1, 'deg'),
    figureLine('start', fit.startRpm, 0, 'rpm'),
    figureLine('all-in', fit.allInRpm, 0, 'rpm'),
    figureLine('total', fit.totalDeg, 1, 'deg'),
    figureLine('range', fit.rangeDeg, 1, 'deg'),
    ...fit.notes.map((note) => `  ${note}`),
  ].join('\n');
}

/** @throws CsvError if the text is no table of readings, or has none */
export function fitOfText(text: string): CurveFit {
  const rows = readReadings(text);
  if (rows.length === 0) throw new CsvError('has no readings below its header');
  return fitCurve(rows.map(({ rpm, advanceDeg, rpmSd }) => ({ rpm, advanceDeg, rpmSd })));
}

async function fitFile(file: string, asJson: boolean, io: CommandIo): Promise<void> {
  const text = await io.readText(file, LONGEST_CSV);
  try {
    const fit = fitOfText(text);
    io.say(asJson ? fitJson(file, fit) : fitText(file, fit));
  } catch (error) {
    throw error instanceof CsvError ? new BadInput(`${file}: ${error.message}`) : error;
  }
}

async function fitFiles(files: readonly string[], values: OptionValues, io: CommandIo): Promise<boolean> {
  if (files.length === 0) throw new BadUsage('fit: a CSV file of readings is wanted');
  let allWell = true;
  for (const file of files) {
    try {
      await fitFile(file, values['json'] === true, io);
    } catch (error) {
      if (files.length === 1 || !(error instanceof BadInput)) throw error;
      io.warn(error.message); // the other files may be good
      allWell = false;
    }
  }
  return allWell;
}

export const fitCommand: Command = {
  name: 'fit',
  usage: 'fit READINGS.csv... [--json]',
  summary: 'Fits the advance curve to readings: corners, initial, total, with 95 % intervals',
  options: { json: { type: 'boolean', help: 'one JSON line a file instead of words' } },
  more:
    'A file of readings is a CSV with the columns rpm and advance_deg (crank degrees before TDC); rpm_sd is used\n' +
    'where it stands. A figure that the readings do not show is null. Each figure is {value, low, high}, the ends\n' +
    'of its 95 % interval.',
  run: fitFiles,
};
