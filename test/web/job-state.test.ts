/** The job's state: what is done on one page is there on the next, whatever happened between. */
import { beforeEach, expect, test } from 'vitest';
import { NO_PARTS } from '../../core/new-job';
import { emptyStore, madeLive, madeLocks, openDesk, steadyTrace } from './job-desk-helpers';

beforeEach(emptyStore);

test('an empty store opens on a new job, which is there again on the next page', async () => {
  const desk = await openDesk();
  expect(desk.job?.name).toBe('New job');
  expect(desk.run).toBeNull();
  await desk.settled();
  const again = await openDesk();
  expect(again.job?.id).toBe(desk.job?.id);
  expect(again.jobs).toHaveLength(1);
});

test('facts, target, set-ups and notes are there on the next page', async () => {
  const desk = await openDesk();
  desk.change({ name: 'Bench engine', target: { corners: [{ rpm: 900, advanceDeg: 12 }], bandDeg: 1.5 } });
  desk.changeEngine({ cylinders: 6, rotorSense: 'clockwise' });
  const id = desk.addSetUp({
    name: 'Light',
    springs: 'two thin',
    stop: '10',
    ...NO_PARTS,
    vacuumLine: 'plugged',
    notes: '',
  });
  desk.changeSetUp(id, { stop: '12' });
  await desk.settled();
  const { job } = await openDesk();
  expect(job).toEqual(desk.job);
  expect(job!.engine).toMatchObject({ cylinders: 6, rotorSense: 'clockwise', strokes: 4 });
  expect(job!.setUps).toMatchObject([{ id, springs: 'two thin', stop: '12' }]);
});

test('the analysis is told of the engine when the job opens and when it changes', async () => {
  const live = madeLive();
  const desk = await openDesk({ live });
  desk.changeEngine({ cylinders: 4 });
  expect(live.asked).toEqual(['engine of 8', 'engine of 4']);
});

test('a reading without sound takes the speed typed and says that its spread is not known', async () => {
  const desk = await openDesk();
  await desk.startRun(null, false);
  desk.pin(1500);
  expect(desk.pinned).toMatchObject({ rpm: 1500, rpmSd: null, steady: null, timeS: null });
  desk.read(21.5, 'mark wandered');
  expect(desk.pinned).toBeNull();
  expect(desk.run!.readings).toMatchObject([
    { rpm: 1500, seenDeg: 21.5, note: 'mark wandered', rpmSd: null },
  ]);
  expect(desk.run!.source).toBe('typed by hand');
});

test('a reading with sound takes the speed of the last stretch; the run then has that source', async () => {
  const live = madeLive();
  const desk = await openDesk({ live });
  await desk.startRun(null, false);
  Object.assign(live, {
    source: 'line input',
    rpm: 2000,
    trace: steadyTrace(2000, 4),
    latest: { timeS: 4.02 },
  });
  desk.pin();
  expect(desk.pinned).toMatchObject({ timeS: 4.02, steady: true });
  expect(desk.pinned!.rpm).toBeCloseTo(2000, -1);
  desk.read(30);
  expect(desk.run!.source).toBe('line input');
  await desk.settled();
  expect((await openDesk()).run!.readings).toEqual(desk.run!.readings);
});

test('a reading before the run’s trace has a row takes the speed shown; whether it moved is not known', async () => {
  const live = madeLive();
  const desk = await openDesk({ live });
  await desk.startRun(null, false);
  Object.assign(live, { source: 'line input', rpm: 812, rpmSd: 6, latest: { timeS: 99 } });
  desk.pin();
  expect(desk.pinned).toMatchObject({ rpm: 812, rpmSd: 6, steady: null, timeS: null });
});

test('one strike does not show whether the speed moved', async () => {
  const live = madeLive();
  const desk = await openDesk({ live });
  const row = (value: number) => Float64Array.of(value);
  const trace = { timeS: row(0.2), rpm: row(800), rpmSd: row(5) };
  Object.assign(live, { rpm: 800, trace, latest: { timeS: 0.25 } });
  desk.pin();
  expect(desk.pinned).toMatchObject({ rpm: 800, rpmSd: 5, steady: null, timeS: 0.25 });
});

test('a moment stays pinned while another run is looked at, and is let go with the run', async () => {
  const desk = await openDesk();
  await desk.startRun(null, false);
  const { id } = desk.run!;
  await desk.startRun(null, false);
  desk.pin(1500);
  desk.show(id);
  expect(desk.shown!.id).toBe(id);
  expect(desk.pinned).toMatchObject({ rpm: 1500 });
  await desk.endRun();
  expect(desk.pinned).toBeNull();
});

test('without a speed nothing is pinned, and a sentence says why', async () => {
  const desk = await openDesk();
  await desk.startRun(null, false);
  desk.pin();
  expect(desk.pinned).toBeNull();
  expect(desk.problem!.text).toBe('There is no speed to pin now: wait for one, or type it.');
});

test('a reading outside a run is refused in a sentence', async () => {
  const desk = await openDesk();
  desk.pin(1000);
  desk.read(12);
  expect(desk.problem!.text).toContain('Start a run first');
});

test('a run that nobody ended goes on when the page opens again, and can be ended from there', async () => {
  const desk = await openDesk({ now: () => '2026-10-14T17:05:00Z' });
  await desk.startRun(null, true);
  desk.pin(1500);
  desk.read(20);
  await desk.settled();

  const live = madeLive();
  const again = await openDesk({ live, now: () => '2026-10-14T19:00:00Z' });
  expect(again.run?.id).toBe(desk.run!.id);
  expect(again.problem!.text).toMatch(/^Run of \d\d:05 was still open; it goes on\.$/);
  expect(live.asked).toContain('keep run with sound');
  again.pin(1600);
  again.read(22);
  expect(again.run!.readings.map(({ seenDeg }) => seenDeg)).toEqual([20, 22]);
  await again.endRun();
  await again.settled();
  const last = await openDesk();
  expect(last.run).toBeNull();
  expect(last.shown!.readings).toHaveLength(2);
});

test('the sentence about an open run has the day where it was another, and its way on ends it', async () => {
  const desk = await openDesk({ now: () => '2026-10-14T17:05:00Z' });
  await desk.startRun(null, false);
  await desk.settled();
  const again = await openDesk({ now: () => '2026-10-20T17:05:00Z' });
  expect(again.problem!.text).toMatch(/^Run of \d\d:05 on .*14.* was still open; it goes on\.$/);
  again.problem!.wayOn!.act();
  expect(again.run).toBeNull();
  expect(again.problem).toBeNull();
});

test('runs and readings keep their order when the clock goes back', async () => {
  let clock = '2026-10-25T01:59:00Z';
  const now = (): string => clock;
  const desk = await openDesk({ now });
  await desk.startRun(null, false);
  for (const [deg, at] of [
    [10, '2026-10-25T01:59:50Z'],
    [20, '2026-10-25T00:10:00Z'],
    [30, '1970-01-01T00:00:00Z'],
  ] as const) {
    clock = at;
    desk.pin(1000);
    desk.read(deg);
  }
  await desk.startRun(null, false);
  await desk.newJob('Made last');
  await desk.settled();
  const again = await openDesk({ now });
  expect(again.jobs.map(({ name }) => name)).toEqual(['Made last', 'New job']);
  await again.openJob(again.jobs[1]!.id);
  expect(again.job!.runs[0]!.readings.map(({ seenDeg }) => seenDeg)).toEqual([10, 20, 30]);
  expect(again.job!.runs.map(({ startedAt }) => startedAt)).toEqual([
    '2026-10-25T01:59:00Z',
    '1970-01-01T00:00:00Z',
  ]);
});

test('undo takes back adding, editing and deleting, one after the other, also on the next page', async () => {
  const desk = await openDesk();
  await desk.startRun(null, false);
  for (const deg of [10, 20]) {
    desk.pin(100 * deg);
    desk.read(deg);
  }
  const [first, second] = desk.run!.readings;
  desk.changeReading(first!.id, { seenDeg: 11, note: 'read again' });
  desk.removeReading(second!.id);
  expect(desk.run!.readings.map(({ seenDeg }) => seenDeg)).toEqual([11]);
  await desk.settled();

  const again = await openDesk();
  again.undo();
  expect(again.run!.readings.map(({ seenDeg }) => seenDeg)).toEqual([11, 20]);
  again.undo();
  expect(again.run!.readings).toEqual([first, second]);
  await again.settled();
  const last = await openDesk();
  last.undo();
  last.undo();
  expect(last.run!.readings).toEqual([]);
  expect(last.canUndo).toBe(false);
  last.undo();
  expect(last.run!.readings).toEqual([]);
});

test('a change that changes nothing leaves nothing to undo', async () => {
  const desk = await openDesk();
  await desk.startRun(null, false);
  desk.pin(1000);
  desk.read(10);
  desk.changeReading(desk.run!.readings[0]!.id, { seenDeg: 10 });
  desk.changeReading('no such reading', { seenDeg: 10 });
  desk.undo();
  expect(desk.canUndo).toBe(false);
});

test('a run taken away can be brought back, until its job is opened again', async () => {
  const desk = await openDesk();
  await desk.startRun(null, false);
  desk.pin(1000);
  desk.read(10);
  const { id } = desk.run!;
  desk.removeRun(id);
  expect(desk.run).toBeNull();
  expect(desk.job!.runs).toEqual([]);
  desk.undo();
  expect(desk.job!.runs).toMatchObject([{ id, readings: [{ seenDeg: 10 }] }]);
  desk.removeRun(id);
  await desk.settled();
  const again = await openDesk();
  expect(again.job!.runs).toEqual([]);
  expect(again.canUndo).toBe(false);
});

test('the fit follows the readings, corrections applied, and is never that of another run', async () => {
  const desk = await openDesk();
  await desk.startRun(null, false);
  // level 12 to 1200 rpm, 2 degrees for each 100 rpm to 2200, level 32: figures chosen for the test
  const truth = (rpm: number): number => 12 + 20 * Math.min(1, Math.max(0, (rpm - 1200) / 1000));
  for (let rpm = 700; rpm <= 3000; rpm += 100) {
    desk.pin(rpm);
    desk.read(truth(rpm) + (rpm % 200 ? 0.2 : -0.2));
  }
  await expect.poll(() => desk.fit?.n).toBe(24); // it is made aside
  expect(desk.fit!.initialDeg!.value).toBeCloseTo(12, 0);
  expect(desk.fit!.totalDeg!.value).toBeCloseTo(32, 0);
  desk.changeRun(desk.run!.id, {
    corrections: { tapeZeroErrorDeg: 2, tapeZeroSdDeg: null, lightDelayUs: 0 },
  });
  await expect.poll(() => desk.fit!.initialDeg!.value).toBeCloseTo(10, 0);
  await desk.startRun(null, false);
  expect(desk.fit).toBeNull();
  desk.show(desk.job!.runs[0]!.id);
  await expect.poll(() => desk.fit?.totalDeg!.value).toBeCloseTo(30, 0);
});

test('a second tab may look at a job but not change it, until it takes it over', async () => {
  const locks = madeLocks();
  const first = await openDesk({ locks });
  await first.startRun(null, false);
  await first.settled();
  const second = await openDesk({ locks });
  expect(second.problem!.text).toBe('This job is open in another tab; here it can only be looked at.');
  expect(second.run).toBeNull();
  await second.removeJob(second.job!.id);
  expect(second.problem!.text).toContain('close it there before you remove it');
  expect(second.jobs).toHaveLength(1);
  second.change({ name: 'Changed in the second' });
  await second.startRun(null, false);
  expect(second.job!.name).toBe('New job');
  expect(second.job!.runs).toHaveLength(1);

  first.pin(1500);
  first.read(20);
  await first.settled();
  second.problem!.wayOn!.act();
  await expect.poll(() => second.run?.readings.length).toBe(1);
  expect(first.problem!.text).toContain('open in another tab');
  expect(first.run).toBeNull();
  first.change({ name: 'Changed in the first' });
  second.change({ name: 'Changed in the second' });
  await Promise.all([first.settled(), second.settled()]);
  expect((await openDesk()).job!.name).toBe('Changed in the second');
});

test('deleting the open job opens the one before; deleting the last makes a new one', async () => {
  const desk = await openDesk();
  const oldId = desk.job!.id;
  await desk.newJob('Second');
  await desk.removeJob(desk.job!.id);
  expect(desk.job!.id).toBe(oldId);
  await desk.removeJob(oldId);
  expect(desk.job!.id).not.toBe(oldId);
  await desk.settled();
  expect((await openDesk()).jobs).toHaveLength(1);
});

test('acts on jobs that are asked for at once happen one after the other', async () => {
  const desk = await openDesk();
  const oldId = desk.job!.id;
  await Promise.all([
    desk.newJob('One'),
    desk.startRun(null, false),
    desk.newJob('Two'),
    desk.openJob(oldId),
    desk.removeJob(oldId),
  ]);
  expect(desk.job!.name).toBe('Two');
  expect(desk.run).toBeNull();
  await desk.settled();
  const again = await openDesk();
  await again.openJob(again.jobs.find(({ name }) => name === 'One')!.id);
  expect(again.job!.runs).toHaveLength(1);
  expect(again.run).toBeNull(); // ended when the job was left
});

test('an analysis that never answers does not hold the job up', async () => {
  const live = { ...madeLive(), keepFor: () => new Promise<void>(() => undefined) };
  const desk = await openDesk({ live });
  void desk.startRun(null, false);
  await expect.poll(() => desk.run).not.toBeNull();
  desk.pin(1000);
  desk.read(10);
  await desk.endRun();
  expect(desk.run).toBeNull();
  expect(desk.job!.runs[0]!.readings).toHaveLength(1);
});
