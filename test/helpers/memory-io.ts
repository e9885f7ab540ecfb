/** The machine as a command sees it, in memory: files in, files and lines out. */
import { BadInput, type Command, type CommandIo, type OptionValues } from '../../core/commands/cli-command';

export interface MemoryRun {
  readonly allWell: boolean;
  readonly said: readonly string[];
  readonly warned: readonly string[];
  /** Text of the files written, by name. */
  readonly written: Readonly<Record<string, string>>;
}

const bytesOf = (piece: string | Uint8Array): Uint8Array =>
  typeof piece === 'string' ? new TextEncoder().encode(piece) : piece;

/** Runs a command on files that exist only here.
 * @param pieceBytes how many bytes of a file come at a time */
export async function runInMemory(
  command: Command,
  files: readonly string[],
  values: OptionValues = {},
  disk: Readonly<Record<string, string | Uint8Array>> = {},
  pieceBytes = 1000,
): Promise<MemoryRun> {
  const said: string[] = [];
  const warned: string[] = [];
  const written: Record<string, string> = {};
  const open = (path: string): Uint8Array => {
    const content = disk[path];
    if (content === undefined) throw new BadInput(`${path}: cannot be read: there is no such file or folder`);
    return bytesOf(content);
  };
  const io: CommandIo = {
    async *readBytes(path) {
      const bytes = open(path);
      for (let at = 0; at < bytes.length; at += pieceBytes)
        yield await Promise.resolve(bytes.subarray(at, at + pieceBytes));
    },
    readText: (path) => Promise.resolve(new TextDecoder().decode(open(path))),
    openOutput: (path) => {
      written[path] = '';
      const write = (piece: string | Uint8Array): void => {
        written[path] += typeof piece === 'string' ? piece : new TextDecoder('latin1').decode(piece);
      };
      return { write, overwrite: () => undefined };
    },
    rest: () => Promise.resolve(),
    say: (line) => said.push(line),
    warn: (line) => warned.push(line),
  };
  const allWell = await command.run(files, values, io);
  return { allWell, said, warned, written };
}
