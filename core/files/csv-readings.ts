/** Readings as CSV: a table with rpm and advance_deg in, rows out; a run's readings in, a table out. */
import { readTable, writeTable } from './csv';
import { columnOf, neededColumn, neededNumber, numberAt, textAt, type Range } from './csv-columns';
import type { Reading } from '../job';

/** One reading of a file. */
export interface ReadingRow {
  /** As a spreadsheet numbers it: the header is row 1. */
  readonly row: number;
  readonly rpm: number;
  /** Crank degrees before TDC, nothing left to correct. */
  readonly advanceDeg: number;
  /** null where the file has no such column or the cell is empty. */
  readonly rpmSd: number | null;
  readonly note: string;
}

const NEEDED = ['rpm', 'advance_deg'] as const;
const RPM: Range = { from: 1, to: 30_000 };
const ADVANCE_DEG: Range = { from: -180, to: 180 };
const RPM_SD: Range = { from: 0, to: 30_000 };

/** Reads a table of readings: the columns rpm and advance_deg, and rpm_sd and note where they are; others are passed
 * over. A file with a header and no rows has no readings.
 * @throws CsvError naming row, column and what was wanted */
export function readReadings(text: string): ReadingRow[] {
  const table = readTable(text);
  const [rpm, advance] = NEEDED.map((name) => neededColumn(table, name, NEEDED)) as [number, number];
  const rpmSd = columnOf(table, 'rpm_sd');
  const note = columnOf(table, 'note');
  return table.rows.map((row) => ({
    row: row.row,
    rpm: neededNumber(table, row, rpm, RPM),
    advanceDeg: neededNumber(table, row, advance, ADVANCE_DEG),
    rpmSd: numberAt(table, row, rpmSd, RPM_SD),
    note: textAt(row, note),
  }));
}

const COLUMNS = [
  'rpm',
  'advance_deg',
  'rpm_sd',
  'seen_deg',
  'steady',
  'step_rpm',
  'time_s',
  'at',
  'note',
] as const;

/** Writes readings as a table that `readReadings`, and any spreadsheet, reads again.
 * @param advanceDegOf a reading's advance with the run's corrections applied */
export function writeReadings(
  readings: readonly Reading[],
  advanceDegOf: (reading: Reading) => number,
): string {
  const rows = readings.map((reading) => [
    reading.rpm,
    advanceDegOf(reading),
    reading.rpmSd,
    reading.seenDeg,
    reading.steady === null ? '' : reading.steady ? 'yes' : 'no',
    reading.stepRpm,
    reading.timeS,
    reading.at,
    reading.note,
  ]);
  return writeTable(COLUMNS, rows);
}
