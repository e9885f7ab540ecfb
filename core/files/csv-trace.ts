/** Trace and strikes as CSV: rows one at a time, so that a long recording needs no more memory than a short one. */
import type { FollowState } from '../../dsp/follow-state';
import { readTable } from './csv';
import { CsvError } from './csv';
import { neededColumn, neededNumber, numberAt, shortened, textAt, type Range } from './csv-columns';
import type { TraceColumns } from '../job';

export const TRACE_HEADER = 'time_s,rpm,rpm_sd,state\r\n';
export const STRIKES_HEADER = 'time_s,amplitude\r\n';
export const ADVANCE_HEADER = 'time_s,rpm,advance_deg\r\n';

/** One row of a trace, its line end with it. Time to a nanosecond, speed to a thousandth, its deviation to three
 * figures; a speed that is not known is an empty cell. */
export function traceRow(
  timeS: number,
  rpm: number | null,
  rpmSd: number | null,
  state: FollowState,
): string {
  return `${timeS.toFixed(9)},${rpm === null ? '' : rpm.toFixed(3)},${rpmSd === null ? '' : threeFigures(rpmSd)},${state}\r\n`;
}

/** One accepted strike, its line end with it: time to a nanosecond, peak as a share of full scale. */
export const strikeRow = (timeS: number, amplitude: number): string =>
  `${timeS.toFixed(9)},${amplitude.toFixed(6)}\r\n`;

/** The advance of one spark, its line end with it: time to a nanosecond, speed and advance to a thousandth. */
export const advanceRow = (timeS: number, rpm: number, advanceDeg: number): string =>
  `${timeS.toFixed(9)},${rpm.toFixed(3)},${advanceDeg.toFixed(3)}\r\n`;

/** Three figures and never an exponent: spreadsheets of some countries do not read one. */
function threeFigures(value: number): string {
  const decimals = value > 0 ? 2 - Math.floor(Math.log10(value)) : 0;
  return value.toFixed(Math.max(0, Math.min(9, decimals)));
}

/** A kept trace as CSV. Gaps are rows without a speed, state "lost". */
export function writeTrace({ timeS, rpm, rpmSd }: TraceColumns): string {
  const rows = timeS.map((time, i) => {
    const speed = rpm[i] ?? null;
    return traceRow(time, speed, rpmSd[i] ?? null, speed === null ? 'lost' : 'following');
  });
  return TRACE_HEADER + rows.join('');
}

export interface TraceRow {
  readonly timeS: number;
  readonly rpm: number | null;
  readonly rpmSd: number | null;
  readonly state: FollowState;
}

const STATES: readonly FollowState[] = ['listening', 'following', 'lost'];
const TIME_S: Range = { from: 0, to: 1e7 };
const RPM: Range = { from: 0, to: 100_000 };
const NEEDED = ['time_s', 'rpm', 'rpm_sd', 'state'] as const;

/** Reads a trace back.
 * @throws CsvError naming row, column and what was wanted */
export function readTrace(text: string): TraceRow[] {
  const table = readTable(text);
  const [time, rpm, rpmSd, state] = NEEDED.map((name) => neededColumn(table, name, NEEDED)) as [
    number,
    number,
    number,
    number,
  ];
  return table.rows.map((row) => {
    const word = textAt(row, state).trim();
    const known = STATES.find((each) => each === word);
    if (!known)
      throw new CsvError(
        `row ${row.row}, column state: "${shortened(word)}" is none of ${STATES.join(', ')}`,
      );
    return {
      timeS: neededNumber(table, row, time, TIME_S),
      rpm: numberAt(table, row, rpm, RPM),
      rpmSd: numberAt(table, row, rpmSd, RPM),
      state: known,
    };
  });
}
