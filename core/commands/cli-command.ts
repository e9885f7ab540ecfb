/** What a command of the command line is, what it may ask of the machine, and how it says no. Types and errors only. */

/** What was given is no good: exit 1. The message is one plain sentence. */
export class BadInput extends Error {
  override readonly name = 'BadInput';
}

/** The command line itself is wrong: exit 2. The message is one plain sentence. */
export class BadUsage extends Error {
  override readonly name = 'BadUsage';
}

/** A file being written. It takes its name only when kept, so that no part of a file is ever left behind. */
export interface OutputFile {
  write(piece: string | Uint8Array): void;
  /** Writes over bytes that are there already. */
  overwrite(atByte: number, piece: Uint8Array): void;
}

/** The machine, as a command sees it. */
export interface CommandIo {
  /** The file's bytes in order, piece by piece; a piece is good until the next is asked for.
   * @throws BadInput if it cannot be read */
  readBytes(path: string): AsyncIterable<Uint8Array>;
  /** @throws BadInput if it cannot be read or is longer than `mostBytes` */
  readText(path: string, mostBytes: number): Promise<string>;
  /** Files opened during a command are all kept when it ends well, and none when it doesn't.
   * @throws BadInput if it cannot be written */
  openOutput(path: string): OutputFile;
  /** Lets the machine take its turn: an interrupt is heard here. For long work that waits for no file. */
  rest(): Promise<void>;
  /** A line of the answer. */
  say(line: string): void;
  /** A line to the person beside the answer. */
  warn(line: string): void;
}

export interface OptionSpec {
  readonly type: 'string' | 'boolean';
  /** How the value is called in the help; none for a switch. */
  readonly value?: string;
  readonly help: string;
  /** Not in the help: known only to be refused in words. */
  readonly hidden?: true;
}

export type OptionValues = Readonly<Record<string, string | boolean | undefined>>;

export interface Command {
  readonly name: string;
  readonly usage: string;
  readonly summary: string;
  readonly options: Readonly<Record<string, OptionSpec>>;
  /** What else the person must know, in the help after the options. */
  readonly more: string;
  /** @returns false if some of what was asked failed and was said already
   *  @throws BadInput, BadUsage */
  run(files: readonly string[], values: OptionValues, io: CommandIo): Promise<boolean>;
}

/** An option's text; undefined where it was not given. */
export function textOf(values: OptionValues, name: string): string | undefined {
  const value = values[name];
  return typeof value === 'string' ? value : undefined;
}

/** An option that is one of a few words.
 * @throws BadUsage if it is another */
export function oneOf<T extends string>(
  values: OptionValues,
  name: string,
  words: readonly T[],
  otherwise: T,
): T {
  const text = textOf(values, name);
  if (text === undefined) return otherwise;
  const word = words.find((each) => each === text);
  if (word === undefined) throw new BadUsage(`--${name} must be ${listed(words)}, got "${text}"`);
  return word;
}

/** An option that is a number; null where it was not given.
 * @throws BadUsage if it is none, or outside the range */
export function numberOf(values: OptionValues, name: string, range: NumberRange): number | null {
  const text = textOf(values, name);
  if (text === undefined) return null;
  const value = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text.trim()) ? Number(text) : NaN;
  const fits = value >= range.from && value <= range.to && (!range.whole || Number.isInteger(value));
  if (!fits)
    throw new BadUsage(
      `--${name} must be a ${range.whole ? 'whole ' : ''}number from ${range.from} to ${range.to}, got "${text}"`,
    );
  return value;
}

export interface NumberRange {
  readonly from: number;
  readonly to: number;
  readonly whole?: boolean;
}

function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;
}
