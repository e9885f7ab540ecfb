/** What a command line needs before and after Node's own parser: arguments in, arguments or a plain sentence out. */
import type { Command } from './cli-command';

/** Writes `--initial -5` as `--initial=-5`: the parser takes a value that starts with a dash for an option. */
export function withNegativeValues(command: Command, args: readonly string[]): string[] {
  return args.flatMap((arg, i) => {
    const takesValue = (name: string | undefined): boolean =>
      name?.startsWith('--') === true && command.options[name.slice(2)]?.type === 'string';
    const isNegative = /^-[\d.]/.test(arg);
    if (isNegative && takesValue(args[i - 1])) return [];
    const next = args[i + 1];
    return takesValue(arg) && next !== undefined && /^-[\d.]/.test(next) ? [`${arg}=${next}`] : [arg];
  });
}

/** The parser's complaint as one line, its advice on unknown options left out: no file of ours starts with a dash. */
export function plainProblem(message: string): string {
  return message
    .replace(/(?<=^Unknown option '[^']*')\..*/s, '')
    .replaceAll('\n', ' ')
    .replace(/\.$/, '');
}
