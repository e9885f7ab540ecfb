import fc from 'fast-check';
import { expect, test } from 'vitest';
import { CsvError, LONGEST_CSV, readTable, writeTable } from '../../../core/files/csv';

test('a table is written with its header, CRLF behind every row, numbers as they are, null as nothing', () => {
  const csv = writeTable(
    ['rpm', 'note'],
    [
      [750, 'idle'],
      [1000.5, null],
      [-3, ''],
    ],
  );
  expect(csv).toBe('rpm,note\r\n750,idle\r\n1000.5,\r\n-3,\r\n');
});

test('a table without rows is its header', () => {
  expect(writeTable(['rpm', 'advance_deg'], [])).toBe('rpm,advance_deg\r\n');
  expect(readTable('rpm,advance_deg\r\n')).toMatchObject({ columns: ['rpm', 'advance_deg'], rows: [] });
});

test('rows are numbered as a spreadsheet numbers them, empty ones passed over', () => {
  const { rows } = readTable('a,b\n1,2\n\n , \n3,4\n');
  expect(rows).toEqual([
    { row: 2, cells: ['1', '2'] },
    { row: 5, cells: ['3', '4'] },
  ]);
});

test('a byte order mark and spaces round the names are taken off', () => {
  expect(readTable('\uFEFF rpm , advance_deg\r\n1,2\r\n').columns).toEqual(['rpm', 'advance_deg']);
});

test.each([
  ['semicolons', 'rpm;advance_deg\r\n750;10,5\r\n', ','],
  ['tabs', 'rpm\tadvance_deg\n750\t10,5\n', ','],
  ['semicolons with decimal points', 'rpm;advance_deg\n750;10.5\n', '.'],
  ['commas', 'rpm,advance_deg\n750,10.5\n', '.'],
])('cells parted by %s are told from the header', (_, text, mark) => {
  const table = readTable(text);
  expect(table.columns).toEqual(['rpm', 'advance_deg']);
  expect(table.rows[0]!.cells[0]).toBe('750');
  expect(table.decimalMark).toBe(mark);
});

test('a comma inside a quoted name does not make the table one of commas', () => {
  expect(readTable('"speed, engine";rpm\n1;2\n').columns).toEqual(['speed, engine', 'rpm']);
});

test('line ends of every kind, even mixed, end rows; inside quotes they stay', () => {
  const { rows } = readTable('a,b\r\n1,"x\r\ny"\n2,z\r3,w');
  expect(rows.map(({ cells }) => cells)).toEqual([
    ['1', 'x\r\ny'],
    ['2', 'z'],
    ['3', 'w'],
  ]);
});

// Common practice against formulas in CSV: a text that starts with = + - @ tab or CR gets a ' in front.
test.each(['=1+1', '+1', '-1', '@SUM(A1)', '\tx', '\rx', "'=1", "''@x"])(
  'the text %j comes back as it was',
  (note) => {
    const csv = writeTable(['note'], [[note]]);
    expect(csv.split('\r\n')[1]).toMatch(/^"'/); // guarded
    expect(readTable(csv).rows[0]!.cells).toEqual([note]);
  },
);

test("a text that merely starts with ' is left alone", () => {
  expect(writeTable(['note'], [["'twas"]])).toBe("note\r\n'twas\r\n");
});

test('any texts survive writing and reading', () => {
  const cell = fc.oneof(
    fc.string({ maxLength: 12 }),
    fc.string({ unit: fc.constantFrom(...'",;\t\r\n\'=a ') }),
  );
  const table = fc
    .integer({ min: 1, max: 4 })
    .chain((width) =>
      fc
        .array(fc.array(cell, { minLength: width, maxLength: width }), { maxLength: 6 })
        .map((rows) => ({ width, rows })),
    );
  fc.assert(
    fc.property(table, ({ width, rows }) => {
      const columns = Array.from({ length: width }, (_, i) => `c${i}`);
      const back = readTable(writeTable(columns, rows));
      const kept = rows.filter((row) => row.some((text) => text.trim() !== ''));
      expect(back.rows.map(({ cells }) => cells)).toEqual(kept);
    }),
    { seed: 41, numRuns: 1000 },
  );
});

test.each([
  ['nothing', '', /^is empty; a header and rows were wanted$/],
  ['blank lines only', '\n\n  \n', /^is empty/],
  ['a row longer than the header', 'a,b\n1,2\n3,4,5\n', /^row 3 has 3 cells where the header names 2$/],
  ['a quote that never closes', 'a,b\n1,2\n3,"4\n', /^row 3 has a quote that is not closed/],
  ['text behind a closing quote', 'a,b\n1,"2"x\n', /^row 2 has a quote/],
])('%s is refused with its row', (_, text, message) => {
  expect(() => readTable(text)).toThrow(CsvError);
  expect(() => readTable(text)).toThrow(message);
});

test('empty cells behind the last column are no fault', () => {
  expect(readTable('a,b\n1,2,,\n').rows.length).toBe(1);
});

test('a first line that names the separator is passed over, and rows keep their numbers', () => {
  const { columns, rows } = readTable('\uFEFFsep=;\r\nrpm;advance_deg\r\n800;10\r\n');
  expect(columns).toEqual(['rpm', 'advance_deg']);
  expect(rows).toEqual([{ row: 3, cells: ['800', '10'] }]);
});

test('a file that is no text is called that', () => {
  expect(() => readTable('RIFF\0\0\0WAVE,1,2\n3')).toThrow(
    'is not a table: its header holds bytes that no text has; names of columns were wanted',
  );
});

test('a text beyond the limit is refused before it is taken apart', () => {
  expect(() => readTable('a\n'.padEnd(LONGEST_CSV + 1, '1'))).toThrow(/is longer than the/);
});
