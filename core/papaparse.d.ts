/** As much of papaparse as core uses: its published types bring Node's names with them, which core must not see.
 * core/tsconfig.json puts this in their place. */
interface ParseProblem {
  readonly code: string;
  readonly message: string;
  readonly row?: number;
}
interface Papa {
  parse<Row extends string[]>(
    text: string,
    config: { readonly delimiter: string; readonly newline: '\n'; readonly header: false },
  ): { readonly data: Row[]; readonly errors: readonly ParseProblem[] };
  unparse(
    table: (string | number | null)[][],
    config: { readonly newline: string; readonly escapeFormulae: RegExp },
  ): string;
}
declare const papa: Papa;
export default papa;
