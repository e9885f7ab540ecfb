import { expect, test } from 'vitest';
import { plainProblem, withNegativeValues } from '../../../core/commands/cli-arguments';
import { BadUsage, numberOf, oneOf, textOf, type Command } from '../../../core/commands/cli-command';
import { commandHelp, generalHelp } from '../../../core/commands/cli-help';

const COMMAND: Command = {
  name: 'weigh',
  usage: 'weigh FILE [options]',
  summary: 'Weighs a file',
  options: {
    zero: { type: 'string', value: 'DEG', help: 'where zero is' },
    json: { type: 'boolean', help: 'as JSON' },
    later: { type: 'string', help: 'not yet', hidden: true },
  },
  more: 'Nothing more.',
  run: () => Promise.resolve(true),
};

test('a number is taken in plain decimals, within its range; null where it was not given', () => {
  const range = { from: -10, to: 10 };
  expect(numberOf({}, 'zero', range)).toBeNull();
  expect(['-10', '+2.5', '.5', '1e1', ' 3 '].map((zero) => numberOf({ zero }, 'zero', range))).toEqual([
    -10, 2.5, 0.5, 10, 3,
  ]);
});

test.each(['', 'ten', '0x1', '11', 'NaN', 'Infinity', '1,5', '1_0'])(
  '%j is refused as a number from -10 to 10',
  (zero) => {
    expect(() => numberOf({ zero }, 'zero', { from: -10, to: 10 })).toThrow(
      new BadUsage(`--zero must be a number from -10 to 10, got "${zero}"`),
    );
  },
);

test('a word is one of those allowed, or the one that stands where none was given', () => {
  expect(oneOf({}, 'side', ['left', 'right'], 'left')).toBe('left');
  expect(oneOf({ side: 'right' }, 'side', ['left', 'right'], 'left')).toBe('right');
  expect(() => oneOf({ side: 'up' }, 'side', ['left', 'right'], 'left')).toThrow(
    '--side must be left or right, got "up"',
  );
});

test('a switch has no text', () => {
  expect(textOf({ json: true }, 'json')).toBeUndefined();
  expect(textOf({ zero: 'a' }, 'zero')).toBe('a');
});

test('a negative value is tied to its option, and nothing else is', () => {
  const tied = (...args: string[]): string[] => withNegativeValues(COMMAND, args);
  expect(tied('a', '--zero', '-5')).toEqual(['a', '--zero=-5']);
  expect(tied('--zero', '-.5', '--json')).toEqual(['--zero=-.5', '--json']);
  expect(tied('--zero', '5')).toEqual(['--zero', '5']);
  expect(tied('--json', '-5')).toEqual(['--json', '-5']);
  expect(tied('--zero', '--json')).toEqual(['--zero', '--json']);
});

test("the parser's complaint becomes one line", () => {
  expect(plainProblem("Unknown option '--x.y'. To specify a positional argument ...")).toBe(
    "Unknown option '--x.y'",
  );
  expect(plainProblem('One.\nTwo.')).toBe('One. Two');
});

test('help lists the commands and, for each, its options but those that are not there yet', () => {
  expect(generalHelp([COMMAND])).toContain('  weigh  Weighs a file');
  const help = commandHelp(COMMAND);
  expect(help).toContain('weigh FILE [options]');
  expect(help).toContain('  --zero DEG  where zero is');
  expect(help).toContain('  --json      as JSON');
  expect(help).toContain('Nothing more.');
  expect(help).not.toContain('later');
});
