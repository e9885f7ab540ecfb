/** `tape` on the command line: options in, drawings out, one plain line where it says no. */
import { describe, expect, test } from 'vitest';
import { BadUsage } from '../../../core/commands/cli-command';
import { tapeCommand } from '../../../core/commands/cli-tape';
import { barLength, degreeLines, paperSize } from '../../helpers/measure-tape';
import { runInMemory } from '../../helpers/memory-io';

const BASE = { diameter: '203.2', unit: 'mm', out: 'tape.svg' };

describe('the drawing', () => {
  test('of a damper of 203.2 mm has 1.773 mm to the degree and 638.4 mm in all, in one file', async () => {
    const { written, said } = await runInMemory(tapeCommand, [], BASE);
    expect(Object.keys(written)).toEqual(['tape.svg']);
    expect(said).toEqual([]);
    const lines = degreeLines(written['tape.svg']!);
    expect(lines[1]!.xMm - lines[0]!.xMm).toBeCloseTo(1.773, 3); // π · 203.2 / 360
    expect((lines.at(-1)!.xMm - lines[0]!.xMm) / 638.372).toBeCloseTo(1, 4);
    expect(barLength(written['tape.svg']!)).toBeCloseTo(100, 6);
  });
  test('of 8 in is the same (8 · 25.4 = 203.2), with a bar of 4 in', async () => {
    const inches = await runInMemory(tapeCommand, [], { diameter: '8', unit: 'in', out: 't.svg' });
    const millimetres = await runInMemory(tapeCommand, [], BASE);
    expect(degreeLines(inches.written['t.svg']!)).toEqual(degreeLines(millimetres.written['tape.svg']!));
    expect(barLength(inches.written['t.svg']!)).toBeCloseTo(101.6, 6);
  });
  test('shows as many degrees either side as asked, from right to left for an anticlockwise crank', async () => {
    const { written } = await runInMemory(tapeCommand, [], {
      ...BASE,
      before: '60',
      after: '20',
      sense: 'anticlockwise',
    });
    const lines = degreeLines(written['tape.svg']!);
    const inPlace = [...lines].sort((a, b) => a.xMm - b.xMm);
    expect([inPlace[0]!.deg, inPlace.at(-1)!.deg]).toEqual([60, -20]);
  });
  test('adds the other cylinders’ marks when told how many there are', async () => {
    const { written } = await runInMemory(tapeCommand, [], { ...BASE, cylinders: '8' });
    expect(written['tape.svg']!.match(/class="firing"/g)).toHaveLength(4);
    expect(written['tape.svg']).toContain('4th to fire + 8th to fire');
  });
  test('on paper is the paper’s size, and a very large damper takes more sheets, each a file', async () => {
    const { written } = await runInMemory(tapeCommand, [], { ...BASE, diameter: '1000', paper: 'letter' });
    const names = Object.keys(written);
    expect(names.slice(0, 2)).toEqual(['tape.svg', 'tape-2.svg']);
    for (const name of names) expect(paperSize(written[name]!).widthMm).toBeCloseTo(279.4, 4); // 11 in
  });
});

test.each([
  [{ diameter: undefined }, /--diameter is wanted/],
  [{ diameter: 'eight' }, /--diameter must be a number/],
  [{ diameter: '-5' }, /--diameter must be a number/],
  [{ diameter: '8' }, /got 8 mm; for inches say --unit in$/],
  [{ diameter: '2000' }, /40 to 1000 mm across, got 2000 mm/],
  [{ unit: 'cm' }, /--unit must be mm or in/],
  [{ sense: 'left' }, /--sense must be clockwise or anticlockwise/],
  [{ before: '200' }, /--before must be a whole number from 0 to 180/],
  [{ before: '5', after: '0' }, /must make 10 degrees or more/],
  [{ cylinders: '0' }, /--cylinders must be a whole number from 1 to 24/],
  [{ paper: 'a3' }, /--paper must be none, a4 or letter/],
  [{ out: undefined }, /--out FILE\.svg is wanted/],
  [{ out: 'tape.pdf' }, /--out must name a \.svg file/],
])('%j is refused in one line and writes nothing', async (wrong, words) => {
  const attempt = runInMemory(tapeCommand, [], { ...BASE, ...wrong });
  await expect(attempt).rejects.toThrow(words);
  await expect(attempt).rejects.toThrow(BadUsage);
  await expect(attempt).rejects.not.toThrow(/\n/);
});

test('a file to read is refused: the tape needs none', async () => {
  await expect(runInMemory(tapeCommand, ['x.csv'], BASE)).rejects.toThrow(/reads no file, got "x\.csv"/);
});
