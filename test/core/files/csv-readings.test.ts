import { expect, test } from 'vitest';
import { CsvError } from '../../../core/files/csv';
import { BY_LIGHT } from '../../../core/new-job';
import { readReadings, writeReadings } from '../../../core/files/csv-readings';
import type { Reading } from '../../../core/job';

test('readings need rpm and advance_deg, in any order, beside any other columns', () => {
  expect(readReadings('note,advance_deg,colour,rpm\nidle,10.5,red,750\n,-2,,4000\n')).toEqual([
    { row: 2, rpm: 750, advanceDeg: 10.5, rpmSd: null, note: 'idle' },
    { row: 3, rpm: 4000, advanceDeg: -2, rpmSd: null, note: '' },
  ]);
});

test('rpm_sd is read where it is given', () => {
  expect(readReadings('rpm,advance_deg,rpm_sd\n750,10,4.5\n800,10,\n').map((row) => row.rpmSd)).toEqual([
    4.5,
    null,
  ]);
});

test('a file of a header alone has no readings', () => {
  expect(readReadings('rpm,advance_deg\r\n')).toEqual([]);
});

test('names are the same in capitals, and a row may end before the columns that need not be there', () => {
  expect(readReadings('RPM,Advance_Deg,note\n750,10\n')).toEqual([
    { row: 2, rpm: 750, advanceDeg: 10, rpmSd: null, note: '' },
  ]);
});

test('a spreadsheet with decimal commas gives the same readings as one with points', () => {
  const commas = readReadings('rpm;advance_deg;rpm_sd\r\n750,5;10,25;1,5\r\n4000;-0,5;\r\n');
  const points = readReadings('rpm,advance_deg,rpm_sd\r\n750.5,10.25,1.5\r\n4000,-0.5,\r\n');
  expect(commas).toEqual(points);
});

test.each(['10', '+10', '10.', '10.0', '1e1', ' 10 ', '"10"'])('%j is the number 10', (text) => {
  expect(readReadings(`rpm,advance_deg\n750,${text}\n`)[0]!.advanceDeg).toBe(10);
});

test.each(['ten', '10 deg', '0x10', '1_0', '1,0', 'NaN', 'Infinity', '--1', '1e999', '١٢', '10°', '1.2.3'])(
  '%j is no number: the message names row, column and what was wanted',
  (text) => {
    const read = (): unknown => readReadings(`rpm,advance_deg\n700,9\n750,"${text}"\n`);
    expect(read).toThrow(CsvError);
    expect(read).toThrow(`row 3, column advance_deg: "${text}" is not a number like 12.5`);
  },
);

test('in a table with decimal commas a decimal point is no number, lest thousands be taken for units', () => {
  expect(() => readReadings('rpm;advance_deg\n1000;10,5\n1.500;12,5\n')).toThrow(
    'row 3, column rpm: "1.500" is not a number like 12,5',
  );
});

test.each([
  [
    'no such column',
    'rpm,degrees\n750,10\n',
    /^has no column advance_deg; its first row must name rpm, advance_deg$/,
  ],
  ['no header', '750,10\n1000,12\n', /^has no column rpm/],
  ['a column twice', 'rpm,rpm,advance_deg\n1,2,3\n', /^names the column rpm twice$/],
  [
    'a cell that is empty',
    'rpm,advance_deg\n750,\n',
    /^row 2, column advance_deg: is empty where a number was wanted$/,
  ],
  ['a speed that cannot be', 'rpm,advance_deg\n0,10\n', /^row 2, column rpm: 0 is outside 1 to 30000$/],
  ['an advance that cannot be', 'rpm,advance_deg\n750,1000\n', /^row 2, column advance_deg: 1000 is outside/],
  ['a negative spread', 'rpm,advance_deg,rpm_sd\n750,10,-1\n', /^row 2, column rpm_sd: -1 is outside/],
  [
    'a decimal comma in a table of commas',
    'rpm,advance_deg\n750,10,5\n',
    /^row 2 has 3 cells where the header names 2$/,
  ],
])('%s is refused in one sentence', (_, text, message) => {
  expect(() => readReadings(text)).toThrow(CsvError);
  expect(() => readReadings(text)).toThrow(message);
});

const reading: Reading = {
  id: 'r1',
  at: '2026-05-01T18:30:00Z',
  timeS: 12.5,
  rpm: 1234.5,
  rpmSd: 3.25,
  seenDeg: 14,
  steady: true,
  stepRpm: 1250,
  note: '=late, "again"',
  ...BY_LIGHT,
};

test('readings are written with a unit in each name, the corrected advance first, and read back', () => {
  const csv = writeReadings(
    [reading, { ...reading, timeS: null, rpmSd: null, steady: null, stepRpm: null }],
    () => 15.5,
  );
  expect(csv.split('\r\n')[0]).toBe('rpm,advance_deg,rpm_sd,seen_deg,steady,step_rpm,time_s,at,note');
  expect(csv.split('\r\n')[1]).toBe(
    `1234.5,15.5,3.25,14,yes,1250,12.5,2026-05-01T18:30:00Z,"'=late, ""again"""`,
  );
  expect(readReadings(csv)).toEqual([
    { row: 2, rpm: 1234.5, advanceDeg: 15.5, rpmSd: 3.25, note: reading.note },
    { row: 3, rpm: 1234.5, advanceDeg: 15.5, rpmSd: null, note: reading.note },
  ]);
});
