/** `report` on the command line: a job in, a page out, one plain line where it says no. */
import { expect, test } from 'vitest';
import { BadInput, BadUsage } from '../../../core/commands/cli-command';
import { reportCommand } from '../../../core/commands/cli-report';
import { sampleJob } from '../../../samples/job';
import { runInMemory } from '../../helpers/memory-io';

const DISK = {
  'job.json': JSON.stringify(sampleJob()),
  'cut.json': JSON.stringify(sampleJob()).slice(0, 900),
  'table.csv': 'rpm,advance_deg\r\n800,12\r\n',
};
const run = (files: string[], values: Record<string, string>) =>
  runInMemory(reportCommand, files, values, DISK);

test('writes one HTML page and says nothing', async () => {
  const { written, said, warned, allWell } = await run(['job.json'], { out: 'report.html' });
  expect([said, warned, allWell]).toEqual([[], [], true]);
  expect(Object.keys(written)).toEqual(['report.html']);
  expect(written['report.html']).toMatch(/^<!doctype html>/);
  expect(written['report.html']).toContain('Practice engine, two evenings');
});

test('reports the run that is asked for', async () => {
  const { written } = await run(['job.json'], { out: 'r.html', run: 'run-1' });
  expect(written['r.html']).toContain('Run of 10 Mar 2026');
});

test.each([
  [['cut.json'], { out: 'r.html' }, /^cut\.json: is cut short/],
  [['table.csv'], { out: 'r.html' }, /^table\.csv: is not a Clampline job file/],
  [['none.json'], { out: 'r.html' }, /^none\.json: cannot be read/],
  [
    ['job.json'],
    { out: 'r.html', run: 'run-9' },
    /^job\.json: has no run "run-9"; its runs are run-1, run-2$/,
  ],
])('bad input, %j %j: one line, nothing written', async (files, values, message) => {
  const outcome = run(files, values);
  await expect(outcome).rejects.toThrow(BadInput);
  await expect(outcome).rejects.toThrow(message);
});

test.each([
  [[], { out: 'r.html' }],
  [['job.json', 'job.json'], { out: 'r.html' }],
  [['job.json'], {}],
])('bad usage, %j %j: one line', async (files, values) => {
  await expect(run(files, values)).rejects.toThrow(BadUsage);
});
