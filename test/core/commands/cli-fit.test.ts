/** `fit` on the command line: text in, a JSON line out, in the order that the contract gives. */
import { describe, expect, test } from 'vitest';
import { BadInput, BadUsage, type CommandIo } from '../../../core/commands/cli-command';
import { fitCommand, fitJson, fitOfText } from '../../../core/commands/cli-fit';

const curve = (rpm: number): number => 12 + Math.min(20, Math.max(0, (rpm - 1000) / 100));
const rows = Array.from({ length: 19 }, (_, i) => {
  const rpm = 400 + 200 * i;
  return `${rpm},${(curve(rpm) + [0.3, -0.3, 0.1, -0.2][i % 4]! + (i === 6 ? 8 : 0)).toFixed(1)},"a note, with a comma"`;
});
const FILE = ['rpm,advance_deg,note', ...rows, ''].join('\r\n');

function io(files: Record<string, string>): CommandIo & { said: string[]; warned: string[] } {
  const said: string[] = [];
  const warned: string[] = [];
  const refuse = (): never => {
    throw new Error('not asked for');
  };
  return {
    said,
    warned,
    readBytes: refuse,
    openOutput: refuse,
    rest: refuse,
    readText: (path) =>
      path in files ? Promise.resolve(files[path]!) : Promise.reject(new BadInput(`${path}: no such file`)),
    say: (line) => void said.push(line),
    warn: (line) => void warned.push(line),
  };
}

describe('the JSON line', () => {
  const line = JSON.parse(fitJson('a.csv', fitOfText(FILE))) as Record<string, unknown>;
  test('has its keys in the order of the contract', () => {
    expect(Object.keys(line)).toEqual([
      'file',
      'n',
      'initial_deg',
      'start_rpm',
      'all_in_rpm',
      'total_deg',
      'range_deg',
      'corners',
      'slope_deg_per_1000rpm',
      'residual_sd_deg',
      'set_aside',
      'notes',
    ]);
  });
  test('gives each figure with its interval and the corners with their degrees', () => {
    const initial = line['initial_deg'] as { value: number; low: number; high: number };
    expect(Object.keys(initial)).toEqual(['value', 'low', 'high']);
    expect(initial.low).toBeLessThan(12);
    expect(initial.high).toBeGreaterThan(12);
    expect((line['corners'] as unknown[]).map((corner) => Object.keys(corner as object))).toEqual([
      ['rpm', 'advance_deg'],
      ['rpm', 'advance_deg'],
    ]);
  });
  test('counts data rows from 1 in set_aside: the slip is the seventh', () => {
    expect(line['n']).toBe(19);
    expect(line['set_aside']).toEqual([7]);
  });
  test('has null for what is not seen', () => {
    const open = JSON.parse(fitJson('b.csv', fitOfText('rpm,advance_deg\n800,12\n900,12.5\n'))) as Record<
      string,
      unknown
    >;
    expect(open['initial_deg']).toBeNull();
    expect(open['slope_deg_per_1000rpm']).toBeNull();
    expect(open['corners']).toEqual([]);
  });
});

describe('the command', () => {
  test('gives one line a file', async () => {
    const machine = io({ 'a.csv': FILE, 'b.csv': FILE });
    expect(await fitCommand.run(['a.csv', 'b.csv'], { json: true }, machine)).toBe(true);
    expect(machine.said.map((line) => (JSON.parse(line) as { file: string }).file)).toEqual([
      'a.csv',
      'b.csv',
    ]);
  });
  test('says the figures in words without --json', async () => {
    const machine = io({ 'a.csv': FILE });
    await fitCommand.run(['a.csv'], {}, machine);
    expect(machine.said[0]).toMatch(/initial +1[12]\.\d deg \(/);
    expect(machine.said[0]).toContain('set aside as a slip');
  });
  test('goes on past a bad file among several, and says which and why', async () => {
    const machine = io({ 'bad.csv': 'rpm,advance_deg\n800,twelve\n', 'a.csv': FILE });
    expect(await fitCommand.run(['bad.csv', 'a.csv'], { json: true }, machine)).toBe(false);
    expect(machine.warned).toHaveLength(1);
    expect(machine.warned[0]).toMatch(/^bad\.csv: row 2, column advance_deg/);
    expect(machine.said).toHaveLength(1);
  });
  test.each([
    ['rpm,degrees\n800,12\n', /advance_deg/],
    ['rpm,advance_deg\n', /no readings/],
    ['', /empty/],
  ])('refuses %j', async (text, words) => {
    await expect(fitCommand.run(['a.csv'], { json: true }, io({ 'a.csv': text }))).rejects.toThrow(words);
    await expect(fitCommand.run(['a.csv'], { json: true }, io({ 'a.csv': text }))).rejects.toThrow(BadInput);
  });
  test('wants a file', async () => {
    await expect(fitCommand.run([], {}, io({}))).rejects.toThrow(BadUsage);
  });
});
