/** RFC 4180, "Common Format and MIME Type for CSV Files" (October 2005), section 2, rules 1 to 7 and the grammar: title
 * and status seen, the rules from memory. A second reader, written here from the grammar alone, checks the product's
 * writer and reader on any table. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readTable, writeTable } from '../../core/files/csv';

/** file = record *(CRLF record) [CRLF]; field = escaped / non-escaped; escaped = DQUOTE *(… / 2DQUOTE) DQUOTE.
 * Throws where the text breaks the grammar. */
function parseByGrammar(text: string): string[][] {
  let at = 0;
  const field = (): string => {
    if (text[at] !== '"') {
      const plain = /^[^",\r\n]*/.exec(text.slice(at))![0];
      at += plain.length;
      return plain;
    }
    const escaped = /^"((?:[^"]|"")*)"/.exec(text.slice(at));
    if (!escaped) throw new Error(`no closing quote at ${at}`);
    at += escaped[0].length;
    return escaped[1]!.replaceAll('""', '"');
  };
  const record = (): string[] => {
    const fields = [field()];
    while (text[at] === ',') {
      at++;
      fields.push(field());
    }
    return fields;
  };
  const records = [record()];
  while (at < text.length) {
    if (!text.startsWith('\r\n', at)) throw new Error(`no CRLF at ${at}`);
    at += 2;
    if (at < text.length) records.push(record());
  }
  return records;
}

const cellsOf = (text: string): (readonly string[])[] => {
  const { columns, rows } = readTable(text);
  return [columns, ...rows.map(({ cells }) => cells)];
};

const THREE = [
  ['aaa', 'bbb', 'ccc'],
  ['zzz', 'yyy', 'xxx'],
];

// The RFC's own examples, rule by rule.
test.each([
  ['1: each record on a line of its own, ended by CRLF', 'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n', THREE],
  ['2: the last record may have no line end', 'aaa,bbb,ccc\r\nzzz,yyy,xxx', THREE],
  [
    '3: a header line in the same format',
    'field_name,field_name2,field_name3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n',
    [['field_name', 'field_name2', 'field_name3'], ...THREE],
  ],
  ['5: fields may be in double quotes', '"aaa","bbb","ccc"\r\nzzz,yyy,xxx', THREE],
  [
    '6: line breaks, quotes and commas stand in quotes',
    'a,b,c\r\n"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
    [
      ['a', 'b', 'c'],
      ['aaa', 'b\r\nbb', 'ccc'],
      ['zzz', 'yyy', 'xxx'],
    ],
  ],
  [
    '7: a quote inside quotes is doubled',
    'a,b,c\r\n"aaa","b""bb","ccc"',
    [
      ['a', 'b', 'c'],
      ['aaa', 'b"bb', 'ccc'],
    ],
  ],
])('RFC 4180 rule %s', (_, text, expected) => {
  expect(cellsOf(text)).toEqual(expected);
  expect(parseByGrammar(text)).toEqual(expected);
});

test('RFC 4180 rule 4: spaces belong to the field', () => {
  expect(readTable('a,b\r\n x , y \r\n').rows[0]!.cells).toEqual([' x ', ' y ']);
});

test('what we write keeps to the grammar and says what was meant, whatever the cells hold', () => {
  const cell = fc.string({ unit: fc.constantFrom(...'abc ",;\r\n\té漢'), maxLength: 8 });
  const rows = fc.array(fc.tuple(cell, cell, cell), { maxLength: 8 });
  // The guard against formulas is ours, not the RFC's: cells here are none.
  const plain = (row: readonly string[]): boolean => !row.some((text) => /^'*[=+\-@\t\r]/.test(text));
  fc.assert(
    fc.property(rows, (table) => {
      const kept = table.filter(plain);
      const text = writeTable(['a', 'b', 'c'], kept);
      expect(text.endsWith('\r\n')).toBe(true);
      expect(parseByGrammar(text)).toEqual([['a', 'b', 'c'], ...kept]);
    }),
    { seed: 4180, numRuns: 1000 },
  );
});

test('what the grammar allows we read as it means, whoever wrote it', () => {
  const cell = fc.string({ unit: fc.constantFrom(...'ab ",\r\n'), maxLength: 6 });
  const quoted = fc.tuple(cell, fc.boolean()).map(([text, always]) => ({
    text,
    csv: always || /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text,
  }));
  const rows = fc.array(fc.tuple(quoted, quoted), { maxLength: 8 });
  fc.assert(
    fc.property(rows, fc.boolean(), (table, lastEnd) => {
      const filled = table.filter((row) => row.some(({ text }) => text.trim() !== '')); // empty rows are passed over
      const lines = ['p,q', ...filled.map((row) => row.map(({ csv }) => csv).join(','))];
      const text = lines.join('\r\n') + (lastEnd ? '\r\n' : '');
      expect(readTable(text).rows.map(({ cells }) => cells)).toEqual(
        filled.map((row) => row.map((each) => each.text)),
      );
    }),
    { seed: 4181, numRuns: 1000 },
  );
});
