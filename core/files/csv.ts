/** Tables as text: rows of cells to CSV and back, RFC 4180. Knows no meaning of any column. */
import papa from 'papaparse';

/** What is wrong with a table, as one plain sentence that goes on from its file name. */
export class CsvError extends Error {
  override readonly name = 'CsvError';
}

export type Cell = string | number | null;

/** The longest table that is read, in characters. */
export const LONGEST_CSV = 32 * 2 ** 20;
/** The most lines that are read. */
export const MOST_CSV_LINES = 500_000;

/** A text that a spreadsheet would run as a formula, and one that looks like our guard against that. */
const FORMULA = /^'*[=+\-@\t\r]/;
const GUARDED = /^'+[=+\-@\t\r]/;

/** Writes a table: CRLF at the end of every line, cells quoted where they must be, a `'` before a text that a
 * spreadsheet would take for a formula. `readTable` takes it off again. Numbers stay numbers.
 * @source RFC 4180, section 2, from memory; the guard is common practice */
export function writeTable(columns: readonly string[], rows: readonly (readonly Cell[])[]): string {
  const table = [[...columns], ...rows.map((row) => [...row])];
  return papa.unparse(table, { newline: '\r\n', escapeFormulae: FORMULA }) + '\r\n';
}

export interface TableRow {
  /** As a spreadsheet numbers it: the header is row 1. */
  readonly row: number;
  readonly cells: readonly string[];
}

export interface Table {
  /** As written, spaces around them taken off. */
  readonly columns: readonly string[];
  readonly rows: readonly TableRow[];
  /** What stands between whole and part of its numbers. */
  readonly decimalMark: '.' | ',';
}

/** Reads a table whose first row names the columns. Cells are parted by commas, or by the semicolons or tabs that
 * spreadsheets write in countries with a decimal comma. Rows of nothing but empty cells are passed over.
 * @throws CsvError if there is no header, a quote never closes, or a row is longer than the header */
export function readTable(text: string): Table {
  if (text.length > LONGEST_CSV)
    throw new CsvError(`is longer than the ${LONGEST_CSV} characters that are read`);
  if (hasMoreLines(text, MOST_CSV_LINES))
    throw new CsvError(`has more than the ${MOST_CSV_LINES} lines that are read`);
  // In the header alone: what a note further down holds is the person's, and comes back as it was.
  if (/^[^\r\n]*\0/.test(text))
    throw new CsvError(
      'is not a table: its header holds bytes that no text has; names of columns were wanted',
    );
  const plain = withPlainLines(text.startsWith('\uFEFF') ? text.slice(1) : text).replace(
    SEPARATOR_LINE,
    '\n',
  );
  const delimiter = delimiterOf(plain);
  const { data, errors } = papa.parse<string[]>(plain, { delimiter, newline: '\n', header: false });
  const quoteError = errors.find(({ code }) => code === 'MissingQuotes' || code === 'InvalidQuotes');
  if (quoteError)
    throw new CsvError(`row ${(quoteError.row ?? 0) + 1} has a quote that is not closed, or text behind one`);
  const rows = data
    .map((cells, index) => ({ row: index + 1, cells: cells.map(unguarded) }))
    .filter(({ cells }) => cells.some((cell) => cell.trim() !== ''));
  const header = rows.shift();
  if (!header) throw new CsvError('is empty; a header and rows were wanted');
  const columns = header.cells.map((name) => name.trim());
  rows.forEach((row) => assertWidth(row, columns.length));
  return { columns, rows, decimalMark: decimalMarkOf(rows, delimiter) };
}

/** A first line such as `sep=;`, by which some spreadsheets are told what parts the cells: the header tells it too. */
const SEPARATOR_LINE = /^sep=.\n/i;

const unguarded = (cell: string): string => (GUARDED.test(cell) ? cell.slice(1) : cell);

function hasMoreLines(text: string, most: number): boolean {
  const ends = /\r\n?|\n/g;
  for (let lines = 0; lines < most; lines++) if (!ends.test(text)) return false;
  return true;
}

/** Every line end outside quotes as one sign: files that went through several programs mix them. */
const withPlainLines = (text: string): string =>
  text.replace(/"[^"]*"|\r\n?/g, (part) => (part.startsWith('"') ? part : '\n'));

/** The mark that parts the header's names: a name holds none of them. */
function delimiterOf(text: string): string {
  const header = /[^\n]+/.exec(text)?.[0].replace(/"[^"]*"/g, '') ?? '';
  const counts = [',', ';', '\t'].map((mark) => ({ mark, count: header.split(mark).length - 1 }));
  return counts.reduce((best, next) => (next.count > best.count ? next : best)).mark;
}

function assertWidth({ row, cells }: TableRow, columns: number): void {
  if (cells.slice(columns).some((cell) => cell.trim() !== ''))
    throw new CsvError(`row ${row} has ${cells.length} cells where the header names ${columns}`);
}

const COMMA_NUMBER = /^[+-]?\d+,\d+$/;

function decimalMarkOf(rows: readonly TableRow[], delimiter: string): '.' | ',' {
  if (delimiter === ',') return '.';
  return rows.some(({ cells }) => cells.some((cell) => COMMA_NUMBER.test(cell.trim()))) ? ',' : '.';
}
