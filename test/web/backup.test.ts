/** All jobs to one file and back into a store: nothing held is changed, nothing comes twice. */
import { beforeEach, expect, test } from 'vitest';
import type { Job } from '../../core/job';
import { backupOfAll, bringBack, type BroughtBack } from '../../web/files/backup';
import { jobFileText } from '../../web/files/job-text';
import { closeDatabase, openDatabase } from '../../web/store/database';
import { jobOf } from '../../web/store/job-records';
import { listJobs, loadJob } from '../../web/store/job-store';
import { appendTrace } from '../../web/store/trace-store';
import { emptyStore, openDesk } from './job-desk-helpers';

const SAVED_AT = '2026-11-25T20:00:00.000Z';
const onwards = async (): Promise<void> => undefined;
let ids = 0;
const options = { newId: () => `new-${(ids += 1)}`, now: () => SAVED_AT, step: onwards };

beforeEach(emptyStore);

/** Two jobs, each with a run, readings and a trace. */
async function twoJobs(): Promise<void> {
  const desk = await openDesk();
  for (const name of ['First', 'Second']) {
    await desk.newJob(name);
    await desk.startRun(null, false);
    const timeS = Float64Array.of(0.1, 0.2, 0.3);
    await appendTrace(desk.run!.id, { timeS, rpm: Float64Array.of(900, NaN, 910), rpmSd: timeS });
    desk.pin(900);
    desk.read(12.5, name);
    await desk.endRun();
  }
  await desk.settled();
}

/** The text of every job in the store, by its name. */
async function stored(): Promise<Map<string, string>> {
  const db = await openDatabase();
  const jobs = (await listJobs(db)).map(async ({ id }) => jobOf((await loadJob(db, id))!));
  return new Map(
    await Promise.all(jobs.map(async (job) => [(await job).name, await jobFileText(await job)] as const)),
  );
}
const fileOf = (blob: Blob | string): File => new File([blob], 'all.json');
const bring = async (file: File): Promise<BroughtBack> => {
  const came = await bringBack(file, options);
  if ('refusal' in came) throw new Error(came.refusal);
  return came;
};

test('jobs brought back into an empty store are the same to the last sign, traces with them', async () => {
  await twoJobs();
  const before = await stored();
  const { blob, count } = await backupOfAll(SAVED_AT, onwards);
  expect(count).toBe(3); // the empty one that the desk began with is a job too
  await emptyStore();
  expect(await bring(fileOf(blob))).toEqual({
    added: 3,
    same: 0,
    copies: [],
    refused: [],
    left: 0,
    problem: null,
  });
  expect(await stored()).toEqual(before);
});

test('what is here and the same is passed over; what is here in another state is kept beside it', async () => {
  await twoJobs();
  const { blob } = await backupOfAll(SAVED_AT, onwards);
  const desk = await openDesk();
  expect(desk.job!.name).toBe('Second');
  desk.change({ notes: 'changed since' });
  await desk.settled();
  const before = await stored();
  const came = await bring(fileOf(blob));
  expect(came).toMatchObject({ added: 0, same: 2, copies: ['Second (backup of 25 Nov 2026)'] });
  const after = await stored();
  expect(after.size).toBe(4);
  for (const [name, text] of before) expect(after.get(name)).toBe(text);
  const copy = JSON.parse(after.get('Second (backup of 25 Nov 2026)')!) as Job;
  expect(copy.notes).toBe('');
  expect(copy.runs[0]!.trace!.rpm).toEqual([900, null, 910]);
  expect((await openDesk()).job!.name).toBe('Second'); // the job used last is still that
});

test('stopped or refused in the middle, the jobs so far are whole and the rest can be brought later', async () => {
  await twoJobs();
  const before = await stored();
  const { blob } = await backupOfAll(SAVED_AT, onwards);
  await emptyStore();
  let steps = 0;
  const step = async (): Promise<void> => {
    if ((steps += 1) === 2) throw new DOMException('stopped by hand', 'AbortError');
  };
  expect(await bringBack(fileOf(blob), { ...options, step })).toMatchObject({
    added: 1,
    left: 2,
    problem: 'It was stopped.',
  });
  expect(await bring(fileOf(blob))).toMatchObject({ added: 2, same: 1, left: 0 });
  expect(await stored()).toEqual(before);
});

test('a file that is no backup changes nothing', async () => {
  await twoJobs();
  const before = await stored();
  const { blob } = await backupOfAll(SAVED_AT, onwards);
  const text = await blob.text();
  for (const bad of ['Dear reader', text.slice(0, -30), text.replace('"count": 3', '"count": 2')])
    expect(await bringBack(fileOf(bad), options)).toEqual({
      refusal: expect.stringMatching(/^all\.json (is|does) .*\. Nothing was changed\.$/) as string,
    });
  expect(await stored()).toEqual(before);
  await closeDatabase();
});
