/** What has room on one page: long words, lists and tables in; what of them is printed, and what is said of the rest,
 * out. All of it stays in the job file. */

/** How close a page is set, from plenty of room to little. */
export type Density = 'usual' | 'close' | 'dense' | 'densest';

/** The most of each that one page holds beside everything else. */
export const ROOM = {
  factChars: 160,
  noteChars: 300,
  entryChars: 150,
  entries: 6,
  readings: 40,
  trials: 5,
} as const;

/** Words as long as there is room for, their line ends kept. */
export function clipped(said: string, mostChars: number): string {
  if (said.length <= mostChars) return said;
  const kept = said.slice(0, mostChars);
  const lastSpace = kept.lastIndexOf(' ');
  return `${(lastSpace > mostChars / 2 ? kept.slice(0, lastSpace) : kept).trimEnd()} … (the rest in the job file)`;
}

/** "and 3 earlier trials in the job file"; empty where none is left out. */
export const restWords = (left: number, one: string, many: string): string =>
  left <= 0 ? '' : `and ${left} ${left === 1 ? one : many} in the job file`;

/** The first few, each clipped, and what is said of the others. */
export function shortList(entries: readonly string[], one: string, many: string): string[] {
  const rest = restWords(entries.length - ROOM.entries, one, many);
  const kept = entries.slice(0, ROOM.entries).map((entry) => clipped(entry, ROOM.entryChars));
  return rest === '' ? kept : [...kept, rest];
}

/** Words one after the other as long as there is room for all of them; the others counted. */
export function runOn(entries: readonly string[], mostChars: number, one: string, many: string): string {
  const kept: string[] = [];
  let chars = 0;
  for (const entry of entries) {
    const short = clipped(entry, ROOM.entryChars);
    if ((chars += short.length + 3) > mostChars) break;
    kept.push(short);
  }
  return [...kept, restWords(entries.length - kept.length, one, many)].filter(Boolean).join(' · ');
}

/** Every second of them, or third, so that no more than the most are left; the last one always.
 * @param most 2 or more */
export function thinned<T>(
  rows: readonly T[],
  most: number,
): { readonly rows: readonly T[]; readonly every: number } {
  const every = Math.ceil((rows.length - 1) / (most - 1)) || 1;
  const kept = rows.filter((_, i) => i % every === 0 || i === rows.length - 1);
  return { rows: kept, every };
}

/** Characters in a line over the whole width, and how much higher a line of words is than a row of a table. */
const CHARS_A_LINE = 130;
const WORDS_TO_ROW = 1.15;
/** Rows up to which each density keeps to one page of Letter, the smaller of the two, found by printing. */
const MOST_ROWS = { usual: 29.5, close: 38, dense: 48 } as const;
/** Facts of so many lines stand beside the curve without making the page longer. */
const FACT_CHARS = 22;
const FACT_LINES = 14;

const lengthOf = (html: string): number => html.replace(/<[^>]*>/g, '').replace(/&#\d+;/g, 'x').length;
const count = (html: string, what: RegExp): number => (html.match(what) ?? []).length;
/** Lines that some elements' words take. */
const lines = (html: string, names: string, charsALine: number): number =>
  [...html.matchAll(new RegExp(`<(${names})\\b[^>]*>([\\s\\S]*?)</\\1>`, 'g'))].reduce(
    (sum, [, , inside]) => sum + Math.ceil(lengthOf(inside!) / charsALine),
    0,
  );

/** How close a page has to be set to stay one page.
 * @param html of what stands between head and foot */
export function densityFor(html: string): Density {
  const bare = html.replace(/<svg[\s\S]*?<\/svg>/g, '');
  const readings = /<div class="readings( four)?">[\s\S]*?<\/div>/.exec(bare);
  const rest = readings ? bare.replace(readings[0], '') : bare;
  const beside = readings ? count(readings[0], /<tr/g) / (readings[1] ? 4 : 3) : 0;
  const facts = Math.max(0, lines(rest, 'dd', FACT_CHARS) - FACT_LINES);
  const rows = beside + count(rest, /<tr/g) + facts + WORDS_TO_ROW * lines(rest, 'p|li', CHARS_A_LINE);
  if (rows <= MOST_ROWS.usual) return 'usual';
  return rows <= MOST_ROWS.close ? 'close' : rows <= MOST_ROWS.dense ? 'dense' : 'densest';
}
