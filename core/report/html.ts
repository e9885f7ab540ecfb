/** HTML as text: elements in whose text and attributes no markup survives. Knows no engine. */
import { escapeXml } from '../drawing/svg-parts';

type Attributes = Readonly<Record<string, string>>;

/** Text as a page may hold it: marks escaped, line ends kept. */
export const text = (words: string): string => escapeXml(words);

/** One element. @param inside made by this module: not escaped again */
export function element(
  name: string,
  inside: string | readonly string[],
  attributes: Attributes = {},
): string {
  const written = Object.entries(attributes).map(([key, value]) => ` ${key}="${escapeXml(value)}"`);
  return `<${name}${written.join('')}>${typeof inside === 'string' ? inside : inside.join('')}</${name}>`;
}

/** An element that holds words. */
export const words = (name: string, said: string, attributes: Attributes = {}): string =>
  element(name, text(said), attributes);

/** A list of words; nothing where there are none. */
export const listOf = (entries: readonly string[], attributes: Attributes = {}): string =>
  entries.length === 0
    ? ''
    : element(
        'ul',
        entries.map((entry) => words('li', entry)),
        attributes,
      );

/** A table of words. @param head names of the columns */
export const tableOf = (
  head: readonly string[],
  rows: readonly (readonly string[])[],
  attributes: Attributes = {},
): string =>
  element(
    'table',
    [
      element('thead', element('tr', head.map((name) => words('th', name, { scope: 'col' })))), // prettier-ignore
      element('tbody', rows.map((row) => element('tr', row.map((cell) => words('td', cell))))), // prettier-ignore
    ],
    attributes,
  );
