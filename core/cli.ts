/** The command line's hands: arguments, files, streams, exit codes. The only file of core that touches Node; what
 * each command does stands in its own cli-*.ts. */
import {
  closeSync,
  existsSync,
  openSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { open, readFile, stat } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { plainProblem, withNegativeValues } from './commands/cli-arguments';
import {
  BadInput,
  BadUsage,
  type Command,
  type CommandIo,
  type OutputFile,
  type OptionValues,
} from './commands/cli-command';
import { decodeCommand } from './commands/cli-decode';
import { fitCommand } from './commands/cli-fit';
import { forecastCommand } from './commands/cli-forecast';
import { commandHelp, generalHelp } from './commands/cli-help';
import { ProgressLine } from './commands/cli-progress';
import { reportCommand } from './commands/cli-report';
import { simulateCommand } from './commands/cli-simulate';
import { tapeCommand } from './commands/cli-tape';

const COMMANDS: readonly Command[] = [
  decodeCommand,
  fitCommand,
  forecastCommand,
  reportCommand,
  simulateCommand,
  tapeCommand,
];
const PIECE_BYTES = 2 ** 18;
const WRITE_CHARS = 2 ** 16;
const SIGNALS = { SIGHUP: 1, SIGINT: 2, SIGTERM: 15 } as const;

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  EISDIR: 'it is a folder',
  EACCES: 'it is not allowed',
  EPERM: 'it is not allowed',
  EROFS: 'the disk is read-only',
  ENOSPC: 'the disk is full',
  ENOTDIR: 'a part of its path is not a folder',
};

const isSystemError = (error: unknown): error is NodeJS.ErrnoException =>
  error instanceof Error && 'errno' in error;

/** What the machine refused, as one plain sentence; anything else passes as it is. */
function refusal(path: string, wish: 'read' | 'written', error: unknown): unknown {
  if (!isSystemError(error)) return error;
  return new BadInput(`${path}: cannot be ${wish}: ${REASONS[error.code ?? ''] ?? error.message}`);
}

/** On a terminal alone: elsewhere it would stand in a file. */
const progress = new ProgressLine(
  (text) => process.stderr.isTTY && process.stderr.write(text),
  () => performance.now(),
);

async function* readBytes(path: string): AsyncGenerator<Uint8Array> {
  const refused = (error: unknown): never => {
    throw refusal(path, 'read', error);
  };
  const file = await open(path).catch(refused);
  try {
    const piece = new Uint8Array(PIECE_BYTES);
    const { size } = await file.stat().catch(refused);
    for (let done = 0; ;) {
      progress.say(path, size > 0 ? Math.min(1, done / size) : 0);
      const { bytesRead } = await file.read(piece, 0, PIECE_BYTES, null).catch(refused);
      if (bytesRead === 0) return;
      done += bytesRead;
      yield piece.subarray(0, bytesRead);
    }
  } finally {
    progress.clear();
    await file.close();
  }
}

/** Spreadsheets also save text as UTF-16, marked by its first two bytes. */
function textOfBytes(bytes: Buffer): string {
  const mark = bytes.length >= 2 ? bytes.readUInt16BE(0) : 0;
  if (mark === 0xfffe) return new TextDecoder('utf-16le').decode(bytes);
  if (mark === 0xfeff) return new TextDecoder('utf-16be').decode(bytes);
  return bytes.toString('utf8');
}

async function readText(path: string, mostBytes: number): Promise<string> {
  try {
    const { size } = await stat(path);
    if (size > mostBytes)
      throw new BadInput(`${path}: holds ${size} bytes where at most ${mostBytes} can make sense`);
    return textOfBytes(await readFile(path));
  } catch (error) {
    throw refusal(path, 'read', error);
  }
}

/** One name for a file however it is written, links followed as far as there is something. */
function fullPath(path: string): string {
  if (existsSync(path)) return realpathSync(path);
  const folder = dirname(resolve(path));
  return join(existsSync(folder) ? realpathSync(folder) : folder, basename(path));
}

/** A file that appears under its name only when it is kept. A device or a pipe is written to at once. */
class FileOutput implements OutputFile {
  readonly #path: string;
  readonly #target: string;
  readonly #temporary: string | null;
  readonly #file: number;
  #waiting = '';
  #open = true;

  /** @param taken files that are read or written already */
  constructor(path: string, taken: ReadonlyMap<string, 'read' | 'written'>) {
    this.#path = path;
    const present = existsSync(path);
    this.#target = fullPath(path);
    const use = taken.get(this.#target);
    if (use === 'read') throw new BadUsage(`${path} is read: the result cannot be written over it`);
    const isDevice = present && !statSync(path).isFile() && !statSync(path).isDirectory();
    if (use === 'written' && !isDevice)
      throw new BadUsage(`${path} is named for two results: each needs a file of its own`);
    this.#temporary = isDevice
      ? null
      : join(dirname(this.#target), `.${basename(this.#target)}.${process.pid}.part`);
    if (present && statSync(path).isDirectory())
      throw new BadInput(`${path}: cannot be written: it is a folder`);
    this.#file = this.#attempt(() => openSync(this.#temporary ?? this.#target, 'w'));
  }

  write(piece: string | Uint8Array): void {
    if (typeof piece === 'string') {
      this.#waiting += piece;
      if (this.#waiting.length >= WRITE_CHARS) this.#flush();
      return;
    }
    this.#flush();
    this.#writeAll(piece, null);
  }

  overwrite(atByte: number, piece: Uint8Array): void {
    this.#flush();
    this.#writeAll(piece, atByte);
  }

  finish(): void {
    this.#flush();
    this.#close();
  }

  get target(): string {
    return this.#target;
  }

  keep(): void {
    if (this.#temporary) this.#attempt(() => renameSync(this.#temporary!, this.#target));
  }

  discard(): void {
    this.#close();
    if (this.#temporary) rmSync(this.#temporary, { force: true });
  }

  #flush(): void {
    const text = this.#waiting;
    this.#waiting = '';
    if (text) this.#writeAll(Buffer.from(text), null);
  }

  #writeAll(bytes: Uint8Array, atByte: number | null): void {
    this.#attempt(() => {
      for (let done = 0; done < bytes.length;)
        done += writeSync(
          this.#file,
          bytes,
          done,
          bytes.length - done,
          atByte === null ? null : atByte + done,
        );
    });
  }

  #close(): void {
    if (this.#open) closeSync(this.#file);
    this.#open = false;
  }

  #attempt<T>(act: () => T): T {
    try {
      return act();
    } catch (error) {
      throw refusal(this.#path, 'written', error);
    }
  }
}

/** Runs a command with its files: all of its outputs are kept, or none. */
async function runWithFiles(command: Command, files: string[], values: OptionValues): Promise<boolean> {
  const taken = new Map<string, 'read' | 'written'>(files.map((file) => [fullPath(file), 'read']));
  const outputs: FileOutput[] = [];
  const discard = (): void => outputs.forEach((output) => output.discard());
  for (const [signal, number] of Object.entries(SIGNALS))
    process.once(signal, () => {
      discard();
      progress.clear();
      process.stderr.write('stopped; nothing was written\n');
      process.exit(128 + number);
    });
  const io: CommandIo = {
    readBytes,
    readText,
    openOutput(path) {
      const output = new FileOutput(path, taken);
      taken.set(output.target, 'written');
      outputs.push(output);
      return output;
    },
    rest: () => new Promise((resume) => setImmediate(resume)),
    say: (line) => process.stdout.write(`${line}\n`),
    warn: (line) => process.stderr.write(`${line}\n`),
  };
  try {
    const allWell = await command.run(files, values, io);
    outputs.forEach((output) => output.finish());
    outputs.forEach((output) => output.keep());
    return allWell;
  } catch (error) {
    discard();
    throw error;
  }
}

function parse(command: Command, args: string[]): { files: string[]; values: OptionValues } {
  const options = Object.fromEntries(
    Object.entries(command.options).map(([name, { type }]) => [name, { type, multiple: false as const }]),
  );
  try {
    const { positionals, values } = parseArgs({
      args: withNegativeValues(command, args),
      options,
      allowPositionals: true,
      strict: true,
    });
    return { files: positionals, values };
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    throw new BadUsage(`${command.name}: ${plainProblem(error.message)}; --help lists the options`);
  }
}

async function main([name, ...args]: string[]): Promise<number> {
  const names = COMMANDS.map((command) => command.name).join(', ');
  if (name === undefined) throw new BadUsage(`a command is wanted: ${names}; --help says more`);
  if (name === '--help' || name === '-h' || name === 'help') {
    process.stdout.write(`${generalHelp(COMMANDS)}\n`);
    return 0;
  }
  const command = COMMANDS.find((each) => each.name === name);
  if (!command) throw new BadUsage(`there is no command "${name}"; the commands are ${names}`);
  if (args.includes('--help') || args.includes('-h')) {
    process.stdout.write(`${commandHelp(command)}\n`);
    return 0;
  }
  const { files, values } = parse(command, args);
  const empty = Object.entries(values).find(([, value]) => value === '')?.[0];
  if (empty !== undefined) throw new BadUsage(`--${empty} is given nothing; --help lists the options`);
  if (files.includes('')) throw new BadUsage(`${name}: a file's name is empty`);
  return (await runWithFiles(command, files, values)) ? 0 : 1;
}

function exitCodeFor(error: unknown): number {
  if (!(error instanceof BadInput || error instanceof BadUsage)) throw error;
  process.stderr.write(`${error.message}\n`);
  return error instanceof BadUsage ? 2 : 1;
}

// Whoever read the answer has enough and has gone: no reason to complain.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
  });
process.exitCode = await main(process.argv.slice(2)).catch(exitCodeFor);
