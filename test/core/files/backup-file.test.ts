/** A backup holds whole jobs, and says where it is damaged. */
import { expect, test } from 'vitest';
import { backupFrame, parseBackup, sameData } from '../../../core/files/backup-file';
import { serialiseJob } from '../../../core/files/job-file';
import type { Job } from '../../../core/job';
import { madeJob } from '../../helpers/made-jobs';

const JOBS: readonly Job[] = ['a', 'b', 'c'].map((id) => ({ ...madeJob(), id, name: `Job ${id}` }));
const SAVED_AT = '2026-11-25T20:00:00.000Z';

function backupOf(texts: readonly string[], count = texts.length): string {
  const { head, between, foot } = backupFrame(SAVED_AT, count);
  return head + texts.join(between) + foot;
}
const WHOLE = backupOf(JOBS.map(serialiseJob));

test('jobs come back from it as they were, in order, with the moment it was saved', () => {
  expect(parseBackup(WHOLE)).toEqual({ savedAt: SAVED_AT, jobs: JOBS, refused: [] });
  expect(parseBackup(backupOf([]))).toEqual({ savedAt: SAVED_AT, jobs: [], refused: [] });
});

test('it is plain JSON that says what it is', () => {
  const data = JSON.parse(WHOLE) as object;
  expect(data).toMatchObject({ format: 'clampline-backup', version: 1, savedAt: SAVED_AT, count: 3 });
});

test('a damaged job is refused with its place; the others come', () => {
  const bad = serialiseJob({ ...JOBS[1]!, createdAt: 7 as never });
  const read = parseBackup(backupOf([serialiseJob(JOBS[0]!), bad, serialiseJob(JOBS[2]!)]));
  if ('problem' in read) throw new Error(read.problem);
  expect(read.jobs.map(({ id }) => id)).toEqual(['a', 'c']);
  expect(read.refused).toEqual([expect.stringMatching(/^job 2 of 3 is damaged: createdAt: .*got 7$/)]);
});

test.each([
  ['cut short', WHOLE.slice(0, -40), 'is cut short: the end of the backup is missing'],
  ['a letter', 'Dear reader', 'is not a Clampline backup: it is not JSON'],
  ['one job', serialiseJob(JOBS[0]!), 'a file of one job is opened by “Open a job file”'],
  ['a later one', WHOLE.replace('"version": 1', '"version": 2'), 'was written by a later Clampline'],
  ['without a version', WHOLE.replace('"version": 1', '"version": "x"'), 'does not say which version'],
  ['a wrong count', backupOf(JOBS.map(serialiseJob), 4), 'it holds 3 jobs and says another number'],
  ['no day', WHOLE.replace(SAVED_AT, 'soon'), 'does not say when it was saved'],
  [
    'no list',
    '{"format":"clampline-backup","version":1,"savedAt":"2026-11-25","count":0,"jobs":{}}',
    'a list was wanted',
  ],
])('%s is refused in a sentence', (_, text, words) => {
  const read = parseBackup(text);
  expect('problem' in read && read.problem).toContain(words);
});

test('the order of fields makes no difference to what data say; everything else does', () => {
  expect(sameData({ a: 1, b: [1, { c: null }] }, { b: [1, { c: null }], a: 1 })).toBe(true);
  for (const other of [{ a: 1 }, { a: 1, b: 2 }, { a: 1, b: [1, { c: 0 }] }, { a: 1, b: [1] }, null, [1]])
    expect(sameData({ a: 1, b: [1, { c: null }] }, other)).toBe(false);
});
