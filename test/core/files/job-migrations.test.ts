import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parseJob } from '../../../core/files/job-file';
import { JOB_VERSION, type Job } from '../../../core/job';
import { migrate, MIGRATIONS, type Migration } from '../../../core/files/job-migrations';
import { madeJob } from '../../helpers/made-jobs';

test('there is a migration from every version before the present, and from no other', () => {
  const older = Array.from({ length: JOB_VERSION - 1 }, (_, i) => i + 1);
  expect([...MIGRATIONS.keys()].sort((a, b) => a - b)).toEqual(older);
});

test('a job of the present version stays the very same', () => {
  const job = { ...madeJob() };
  expect(migrate(job)).toBe(job);
});

// A table for a made history: version 2 renamed a field, version 3 added one.
const MADE = new Map<number, Migration>([
  [1, ({ title, ...rest }) => ({ ...rest, version: 2, name: title })],
  [2, (job) => ({ ...job, version: 3, notes: '' })],
]);

test('an old job passes every version on its way and keeps the fields that nobody knows', () => {
  expect(migrate({ version: 1, title: 'a', 'x-mine': [1] }, 3, MADE)).toEqual({
    version: 3,
    name: 'a',
    notes: '',
    'x-mine': [1],
  });
  expect(migrate({ version: 2, name: 'b' }, 3, MADE)).toEqual({ version: 3, name: 'b', notes: '' });
});

test('a missing migration, or one that arrives elsewhere, is a mistake of ours and says so', () => {
  expect(() => migrate({ version: 1 }, 4, new Map([[1, MADE.get(1)!]]))).toThrow(
    new RangeError('a migration from version 2 was wanted, there is none'),
  );
  expect(() => migrate({ version: 1 }, 2, new Map([[1, (job) => ({ ...job })]]))).toThrow(RangeError);
});

// A file as version 1 wrote it, cut to a few readings.
test('a file of version 1 is read, keeps all it said, and claims nothing that it did not say', () => {
  const text = readFileSync(new URL('../../helpers/old-jobs/version-1.json', import.meta.url), 'utf8');
  const old = JSON.parse(text) as Job;
  expect(old).toMatchObject({ version: 1 });
  const read = parseJob(text);
  if (!('job' in read)) throw new Error(read.problem);
  expect(read.job).toMatchObject({ ...old, version: JOB_VERSION });
  expect(read.job).toMatchObject({
    parts: { springs: [], stops: [] },
    limits: { mostTotalDeg: null, mostIdleDeg: null, mostCruiseDeg: null },
    engine: { strokeMm: null, rodMm: null, crankSensor: null },
    ...{ tdcProofs: [], log: [] },
    corrections: { tapeZeroSdDeg: null },
  });
  for (const setUp of read.job.setUps)
    expect(setUp).toMatchObject({ firstSpringId: null, secondSpringId: null, stopId: null });
  for (const run of read.job.runs) {
    expect(run).toMatchObject({ vacuumReadings: [], dwellReadings: [], knocks: [], weather: '', fuel: '' });
    expect(run.corrections.tapeZeroSdDeg).toBeNull();
    for (const reading of run.readings)
      expect(reading).toMatchObject({ by: 'light', scatterDeg: null, sparks: null, sweep: null });
  }
});
