/** Commands in, help text out. */
import type { Command, OptionSpec } from './cli-command';

const RUN = 'npm run --silent cli --';

/** The help of the whole command line. */
export function generalHelp(commands: readonly Command[]): string {
  const width = Math.max(...commands.map((command) => command.name.length));
  return [
    'Clampline: engine speed and spark advance from the sound of a clamp on a plug lead.',
    '',
    `Usage: ${RUN} COMMAND ...`,
    '',
    'Commands:',
    ...commands.map((command) => `  ${command.name.padEnd(width)}  ${command.summary}`),
    '',
    `${RUN} COMMAND --help says more of each.`,
    'Exit: 0 done; 1 what was given is no good; 2 the command line is wrong. Errors are one line on stderr.',
  ].join('\n');
}

/** The help of one command. */
export function commandHelp(command: Command): string {
  const rows = Object.entries(command.options)
    .filter(([, spec]) => !spec.hidden)
    .map(([name, spec]) => [flag(name, spec), spec.help] as const);
  const width = Math.max(...rows.map(([left]) => left.length));
  return [
    `${command.summary}.`,
    '',
    `Usage: ${RUN} ${command.usage}`,
    '',
    ...rows.map(([left, help]) => `  ${left.padEnd(width)}  ${help}`),
    ...(command.more ? ['', command.more] : []),
  ].join('\n');
}

const flag = (name: string, spec: OptionSpec): string => `--${name}${spec.value ? ` ${spec.value}` : ''}`;
