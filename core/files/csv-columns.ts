/** A table's cells as numbers and texts by column name; says row, column and what was wanted where one is no good. */
import { CsvError, type Table, type TableRow } from './csv';

export interface Range {
  readonly from: number;
  readonly to: number;
}

/** Where a column stands; null where the table has none.
 * @throws CsvError if two columns have its name */
export function columnOf(table: Table, name: string): number | null {
  const found = table.columns.flatMap((column, index) => (column.toLowerCase() === name ? [index] : []));
  if (found.length > 1) throw new CsvError(`names the column ${name} twice`);
  return found[0] ?? null;
}

/** @throws CsvError if the table has no such column */
export function neededColumn(table: Table, name: string, needed: readonly string[]): number {
  const index = columnOf(table, name);
  if (index === null)
    throw new CsvError(`has no column ${name}; its first row must name ${needed.join(', ')}`);
  return index;
}

/** A cell's text; empty where the row ends before it or the table lacks the column. */
export const textAt = (row: TableRow, column: number | null): string =>
  column === null ? '' : (row.cells[column] ?? '');

/** A cell's number; null for an empty cell or a column that is not there.
 * @throws CsvError if it is no plain decimal number, or outside the range */
export function numberAt(table: Table, row: TableRow, column: number | null, range: Range): number | null {
  const text = textAt(row, column).trim();
  if (column === null || text === '') return null;
  const value = decimal(text, table.decimalMark);
  const where = `row ${row.row}, column ${shortened(table.columns[column]!)}`;
  if (value === null)
    throw new CsvError(`${where}: "${shortened(text)}" is not a number like ${example(table)}`);
  if (value < range.from || value > range.to)
    throw new CsvError(`${where}: ${shortened(text)} is outside ${range.from} to ${range.to}`);
  return value;
}

/** A cell that must hold a number.
 * @throws CsvError if it is empty or no good */
export function neededNumber(table: Table, row: TableRow, column: number, range: Range): number {
  const value = numberAt(table, row, column, range);
  if (value !== null) return value;
  throw new CsvError(`row ${row.row}, column ${table.columns[column]}: is empty where a number was wanted`);
}

const example = (table: Table): string => (table.decimalMark === ',' ? '12,5' : '12.5');
/** A cell as a sentence may hold it. */
export const shortened = (text: string): string => (text.length > 40 ? `${text.slice(0, 40)}…` : text);

/** Plain decimal digits with the table's mark, an exponent allowed: nothing that only looks like a number. */
function decimal(text: string, mark: '.' | ','): number | null {
  const shape = mark === ',' ? /^[+-]?(\d+(,\d*)?|,\d+)$/ : /^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?$/i;
  if (!shape.test(text)) return null;
  const value = Number(text.replace(',', '.'));
  return Number.isFinite(value) ? value : null;
}
