/** The report. What people write must stay words; what is not seen must be said so. */
import { describe, expect, test } from 'vitest';
import { parseJob } from '../../../core/files/job-file';
import type { Job, Run } from '../../../core/job';
import { newJob } from '../../../core/new-job';
import { reportHtml, runBefore } from '../../../core/report/report';
import { figureText, utcText } from '../../../core/report/report-words';
import { fitCurve } from '../../../core/fit';
import { curvePoints } from '../../../core/reading';
import { sampleJob } from '../../../samples/job';
import { clipped, runOn, shortList, thinned } from '../../../core/report/report-room';
import { busyJob } from '../../helpers/busy-job';
import { madeJob } from '../../helpers/made-jobs';

const JOB = sampleJob();
const HOSTILE = `</p></style></svg><script>alert(1)</script><img src=x onerror="alert(2)"> & 'more'`;

/** The job with hostile words wherever words may stand. */
function hostileJob(): Job {
  const run = (one: Run): Run => ({
    ...{ ...one, notes: HOSTILE, weather: HOSTILE, fuel: HOSTILE },
    readings: one.readings.map((reading) => ({ ...reading, note: HOSTILE })),
    knocks: [{ id: 'k', at: one.startedAt, rpm: 2600, note: HOSTILE }],
  });
  return {
    ...{ ...JOB, name: HOSTILE, runs: JOB.runs.map(run) },
    setUps: JOB.setUps.map((one) => ({
      ...one,
      name: HOSTILE,
      springs: HOSTILE,
      stop: HOSTILE,
      notes: HOSTILE,
    })),
    log: [{ id: 'l', at: JOB.createdAt, kind: 'road', runId: 'run-2', text: HOSTILE }],
  };
}

describe('what people wrote', () => {
  const html = reportHtml(hostileJob());
  test('opens no element: every mark in it is escaped', () => {
    expect(html).not.toMatch(/<script|<img|onerror="/i);
    expect(html.match(/<\/style>/g)).toHaveLength(1);
    expect(html).toContain('&#60;script&#62;alert(1)&#60;/script&#62;');
  });
  test('is all there: name, set-up, notes, readings’ notes, knock, log', () =>
    expect(html.split('alert(1)').length - 1).toBeGreaterThanOrEqual(1 + 1 + 4 + 15 + 1 + 1));
  test('could run nothing even so: the page forbids scripts and fetches nothing', () => {
    expect(html).toContain(`content="default-src 'none'; style-src 'unsafe-inline'"`);
    expect(html).not.toMatch(/\b(src|href)="/);
  });
});

test('the latest run is reported unless another is asked for', () => {
  expect(reportHtml(JOB)).toContain('Run of 11 Mar 2026, 18:05 UTC');
  expect(reportHtml(JOB, { runId: 'run-1' })).toContain('Run of 10 Mar 2026, 18:20 UTC');
  expect(reportHtml(JOB, { moment: () => 'Wednesday' })).toContain('Run of Wednesday');
  expect(() => reportHtml(JOB, { runId: 'none' })).toThrow(RangeError);
});

test('every figure of the fit stands in it with its interval, and every reading with its corrected advance', () => {
  const html = reportHtml(JOB);
  const run = JOB.runs[1]!;
  const fit = fitCurve(curvePoints(run));
  expect(html).toContain(figureText(fit.totalDeg, 'deg'));
  expect(html).toContain(figureText(fit.allInRpm, 'rpm'));
  for (const { rpm, seenDeg } of run.readings)
    expect(html).toContain(`<td>${rpm.toFixed(0)}</td><td>${seenDeg.toFixed(1)}</td>`);
});

test('a second run is set against the one before it, the first against none', () => {
  expect(reportHtml(JOB)).toContain('Since the run of 10 Mar 2026');
  expect(reportHtml(JOB, { runId: 'run-1' })).not.toContain('Since the run');
  expect(runBefore(JOB, JOB.runs[1]!)?.id).toBe('run-1');
  expect(runBefore(JOB, JOB.runs[0]!)).toBeNull();
});

describe('what has no room on one page', () => {
  test('trials before stand the latest first, and those left out are counted', () => {
    const html = reportHtml(busyJob(9, 10));
    const table = html.slice(html.indexOf('Trials before those'));
    // run 9 is reported and run 8 compared with it: 7 to 3 have room, 2 and 1 have none
    expect([...table.matchAll(/<td>(\d) Apr 2026/g)].map(([, day]) => day)).toEqual([
      '7',
      '6',
      '5',
      '4',
      '3',
    ]);
    expect(table).toContain('<p>and 2 earlier trials in the job file</p>');
    expect(reportHtml(busyJob(2, 10))).not.toContain('Trials before those');
    expect(reportHtml(busyJob(9, 10), { runId: 'r2' })).toContain('<td>1 Apr 2026');
  });
  test('many readings are thinned out evenly and it is said; forty are not', () => {
    expect(reportHtml(busyJob(1, 40))).not.toContain('all are in the job file');
    const html = reportHtml(busyJob(1, 120));
    expect(html).toContain('One in 4 of them by speed; all are in the job file.');
    expect(html).toContain('Readings (120)');
    for (const rpm of [600, 3800]) expect(html).toContain(`<td>${rpm}</td>`); // both ends are kept
    expect(thinned([1, 2, 3, 4, 5, 6], 3)).toEqual({ rows: [1, 4, 6], every: 3 });
    expect(thinned([], 3)).toEqual({ rows: [], every: 1 });
  });
  test('long words are cut at a word and say where the rest is; short ones stay', () => {
    expect(clipped('one two three', 20)).toBe('one two three');
    expect(clipped('one two three', 9)).toBe('one two … (the rest in the job file)');
    const long = { ...JOB, runs: JOB.runs.map((run) => ({ ...run, notes: 'word '.repeat(4000) })) };
    expect(reportHtml(long).length).toBeLessThan(reportHtml(JOB).length + 1000);
  });
  test('lists keep the first and count the others', () => {
    const many = Array.from({ length: 9 }, (_, i) => `entry ${i}`);
    expect(shortList(many, 'more entry', 'more entries')).toHaveLength(7);
    expect(shortList(many, 'more entry', 'more entries').at(-1)).toBe('and 3 more entries in the job file');
    expect(shortList(['a'], 'more entry', 'more entries')).toEqual(['a']);
    expect(runOn(['aa', 'bb', 'cc'], 11, 'more note', 'more notes')).toBe(
      'aa · bb · and 1 more note in the job file',
    );
    expect(runOn([], 10, 'more note', 'more notes')).toBe('');
  });
});

test('without its style it is the same page, for printing where a policy allows none in it', () => {
  const bare = reportHtml(JOB, { hasStyle: false });
  expect(bare).not.toMatch(/<style|style="/);
  expect(reportHtml(JOB).replace(/<style>[\s\S]*<\/style>/, '')).toBe(bare);
});

test('what is not seen is said so, and carries no advice', () => {
  const run = { ...JOB.runs[1]!, readings: JOB.runs[1]!.readings.slice(0, 3) };
  const html = reportHtml({ ...JOB, runs: [run] });
  expect(html).toContain('<dt>Total</dt><dd>not seen yet</dd>');
  expect(html).not.toMatch(/turn the housing|the stop must give|springs, forces times/);
});

test('knock, log, weather and fuel of the run stand in it; those of other runs do not', () => {
  const html = reportHtml(madeJob());
  for (const words of ['Knock at 2600 rpm: light', 'road: pulls well', '<dd>dry</dd>', '<dd>95</dd>'])
    expect(html).toContain(words);
  const other = { ...madeJob().log[0]!, runId: null, text: 'another day' };
  expect(reportHtml({ ...madeJob(), log: [other] })).not.toContain('another day');
});

test('cautions stand in every report, in an empty one too', () => {
  const empty = reportHtml(newJob({ id: 'e', name: 'Bare', createdAt: JOB.createdAt }));
  expect(empty).toContain('no run yet');
  for (const html of [empty, reportHtml(JOB)]) expect(html).toContain('Knock breaks engines');
});

test('a job read back from its file gives the same report', () => {
  const read = parseJob(JSON.stringify(JOB));
  if ('problem' in read) throw new Error(read.problem);
  expect(reportHtml(read.job)).toBe(reportHtml(JOB));
});

test('a moment is written in UTC, and what is no moment stays as it is', () => {
  expect(utcText('2026-10-14T17:05:00+02:00')).toBe('14 Oct 2026, 15:05 UTC');
  expect(utcText('soon')).toBe('soon');
});
