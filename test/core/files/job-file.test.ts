import fc from 'fast-check';
import { expect, test } from 'vitest';
import { JOB_VERSION, type Job } from '../../../core/job';
import { checkJob, parseJob, serialiseJob, type JobFile } from '../../../core/files/job-file';
import { newJob } from '../../../core/new-job';
import { anyJob, madeJob } from '../../helpers/made-jobs';

const problemOf = (file: JobFile): string => ('problem' in file ? file.problem : 'no problem');
const jobOf = (file: JobFile): Job => {
  if ('problem' in file) throw new Error(file.problem);
  return file.job;
};
type Loose = Record<string, unknown>;

test('a job comes back from its file as it was', () => {
  expect(jobOf(parseJob(serialiseJob(madeJob())))).toEqual(madeJob());
});

test('any job within the limits comes back as it was', () => {
  fc.assert(
    fc.property(anyJob, (job) => {
      // JSON has one zero
      expect(jobOf(parseJob(serialiseJob(job)))).toEqual(JSON.parse(JSON.stringify(job)));
    }),
    { seed: 11, numRuns: 300 },
  );
});

test('a new job is a whole job: no claims, steps from idle to where the advance has stopped rising', () => {
  const job = newJob({ id: 'x', name: 'New', createdAt: '2026-05-01T18:00:00Z' });
  expect(jobOf(parseJob(serialiseJob(job)))).toEqual(job);
  expect(job).toMatchObject({ target: null, setUps: [], runs: [] });
  // Common practice: rev to 3500-4000 rpm, or to wherever the advance stops rising; idle below 1000.
  expect(job.steps.endRpm).toBe(4000);
  expect(job.steps.startRpm).toBeLessThan(1000);
  expect((job.steps.endRpm - job.steps.startRpm) % job.steps.spacingRpm).toBe(0);
});

test('the file is for people too: a field a line, a column of a trace on one', () => {
  const lines = serialiseJob(madeJob()).split('\n');
  expect(lines[1]).toBe('  "format": "clampline-job",');
  expect(lines.some((line) => line.trim() === '"rpm": [900,null,905.25],')).toBe(true);
  expect(lines.at(-1)).toBe('');
});

/** Puts a field that nobody knows into every object of a tree. */
function withStrangers(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withStrangers);
  if (typeof value !== 'object' || value === null) return value;
  const inner = Object.entries(value).map(([key, field]) => [key, withStrangers(field)]);
  return Object.fromEntries([
    ...inner,
    ['x-later', { deep: [1, { more: 'x' }] }],
    ['constructor', 'a'],
    ['', 0],
  ]);
}

test('fields that this version does not know survive a round trip at every level', () => {
  const later = withStrangers(madeJob());
  expect(jobOf(parseJob(serialiseJob(later as Job)))).toEqual(later);
  expect(serialiseJob(jobOf(parseJob(serialiseJob(later as Job))))).toBe(serialiseJob(later as Job));
});

test('a byte order mark in front is no fault', () => {
  expect(jobOf(parseJob(`\uFEFF${serialiseJob(madeJob())}`))).toEqual(madeJob());
});

test.each([
  ['nothing', ''],
  ['a text', 'rpm,advance_deg\n750,10\n'],
  ['a number', '12'],
  ['a list', '[]'],
  ['null', 'null'],
  ['another JSON', '{"format": "something else", "version": 1}'],
  ['a JSON without a format', '{"version": 1}'],
])('%s is not ours, and the file says so', (_, text) => {
  expect(problemOf(parseJob(text))).toMatch(/^is not a Clampline job file: /);
});

test('a file cut short anywhere changes nothing and says so', () => {
  const text = serialiseJob(madeJob());
  const whole = text.trimEnd().length;
  const ours = text.indexOf('clampline-job') + 'clampline-job'.length;
  for (let length = 0; length < whole; length++)
    expect([length, problemOf(parseJob(text.slice(0, length)))]).toEqual([
      length,
      length < ours
        ? 'is not a Clampline job file: it is not JSON'
        : 'is cut short: the end of the job is missing',
    ]);
});

test('a file that is whole but no longer JSON is damaged, not cut short', () => {
  expect(problemOf(parseJob(serialiseJob(madeJob()).replace(',', ';')))).toBe(
    'is damaged: it is a Clampline job file, but no longer whole JSON',
  );
});

test('a later version is refused in words, with both versions', () => {
  expect(problemOf(parseJob(JSON.stringify({ ...madeJob(), version: JOB_VERSION + 1, runs: 'other' })))).toBe(
    `was written by a later Clampline: it is a job file of version ${JOB_VERSION + 1}, and this one reads up to version ${JOB_VERSION}`,
  );
});

test.each([undefined, null, '1', 0, 1.5, -1])('a version of %j is refused', (version) => {
  expect(problemOf(parseJob(JSON.stringify({ ...madeJob(), version })))).toMatch(
    /^does not say which version/,
  );
});

const changed = (change: (job: Loose & { runs: Loose[]; engine: Loose }) => void): string => {
  const job = JSON.parse(serialiseJob(madeJob())) as Loose & { runs: Loose[]; engine: Loose };
  change(job);
  return problemOf(checkJob(job));
};
const readings = (job: { runs: Loose[] }): Loose[] => job.runs[0]!['readings'] as Loose[];

test('what is wrong is named by its place, counted from one, with what was wanted and what came', () => {
  expect(changed((job) => delete job['name'])).toBe('is damaged: name is missing');
  expect(changed((job) => (job.engine['cylinders'] = 0))).toBe(
    'is damaged: engine, cylinders: a number from 1 to 24 was wanted, got 0',
  );
  expect(changed((job) => (job.engine['cylinders'] = 4.5))).toBe(
    'is damaged: engine, cylinders: a whole number was wanted, got 4.5',
  );
  expect(changed((job) => (job.engine['pickup'] = 'ear'))).toBe(
    'is damaged: engine, pickup: one of plug, wasted, coil, sensor was wanted, got "ear"',
  );
  expect(changed((job) => (readings(job)[1]!['rpm'] = 'fast'))).toBe(
    'is damaged: run 1, reading 2, rpm: a number from 0 to 30000 was wanted, got "fast"',
  );
  expect(changed((job) => delete readings(job)[0]!['seenDeg'])).toBe(
    'is damaged: run 1, reading 1, seenDeg is missing',
  );
  expect(changed((job) => (job['runs'] = {} as Loose[]))).toBe(
    'is damaged: runs: a list was wanted, got an object',
  );
  expect(changed((job) => (job['createdAt'] = 'yesterday'))).toBe(
    'is damaged: createdAt: a UTC time like 2026-05-01T18:30:00Z was wanted, got "yesterday"',
  );
  expect(changed((job) => (job['name'] = 'n'.repeat(201)))).toMatch(
    /^is damaged: name: at most 200 characters/,
  );
});

test('two entries with one id are refused: nobody could tell which is meant', () => {
  expect(changed((job) => (readings(job)[1]!['id'] = 'a'))).toBe(
    'is damaged: two readings of run 1 have the id "a"',
  );
  expect(changed((job) => job.runs.push(job.runs[0]!))).toBe('is damaged: two runs have the id "r1"');
});

test('a trace whose columns are not equally long is refused', () => {
  expect(changed((job) => ((job.runs[0]!['trace'] as Loose)['rpm'] = [900]))).toBe(
    'is damaged: run 1, trace: its columns are not equally long',
  );
});

test('a number beyond all numbers is refused, not taken for infinity', () => {
  const text = serialiseJob(madeJob()).replace('"rpm": 902.5', '"rpm": 1e999');
  expect(problemOf(parseJob(text))).toMatch(
    /run 1, reading 1, rpm: a number from 0 to 30000 was wanted, got Infinity/,
  );
});

test('changed bytes end in a job or in a sentence, never in an exception', () => {
  const text = serialiseJob(madeJob());
  const change = fc.tuple(fc.nat({ max: text.length - 1 }), fc.string({ maxLength: 2 }));
  fc.assert(
    fc.property(fc.array(change, { minLength: 1, maxLength: 4 }), (changes) => {
      const damaged = changes.reduce((so, [at, put]) => so.slice(0, at) + put + so.slice(at + 1), text);
      const file = parseJob(damaged);
      expect('job' in file || file.problem.length > 10).toBe(true);
    }),
    { seed: 12, numRuns: 1000 },
  );
});
