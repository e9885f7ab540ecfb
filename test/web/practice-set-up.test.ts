/** The practice engine's set-up in a job: put there once, found again. */
import { expect, test } from 'vitest';
import type { Job, Run, SetUp } from '../../core/job';
import { newJob } from '../../core/new-job';
import { madeJob } from '../helpers/made-jobs';
import { benchSetUp, followBench, practiceSetUp } from '../../web/views/run/practice-set-up';

function desk() {
  const state = {
    job: newJob({ id: 'j', name: 'Bench', createdAt: '2026-05-01T18:00:00Z' }) as Job,
    change(patch: Partial<Job>) {
      state.job = { ...state.job, ...patch };
    },
    addSetUp(setUp: Omit<SetUp, 'id'>) {
      const id = `s${state.job.setUps.length}`;
      state.job = { ...state.job, setUps: [...state.job.setUps, { id, ...setUp }] };
      return id;
    },
  };
  return state;
}

test('a run on the practice engine names what is fitted there, and the same parts give the same set-up', () => {
  const state = desk();
  const first = benchSetUp(state, practiceSetUp({ springsId: 'light', stopId: 'long' }));
  const other = benchSetUp(state, practiceSetUp({ springsId: 'mixed', stopId: 'long' }));
  const again = benchSetUp(state, practiceSetUp({ springsId: 'light', stopId: 'long' }));
  expect([first, other, again]).toEqual(['s0', 's1', 's0']);
  const [light, mixed] = state.job.setUps;
  expect(light).toMatchObject({ springs: 'Light pair', stop: 'Long stop, 24°', vacuumLine: 'none' });
  expect(light!.firstSpringId).toBe(light!.secondSpringId);
  expect(mixed!.firstSpringId).not.toBe(mixed!.secondSpringId);
  const owned = state.job.parts.springs.map(({ id }) => id);
  for (const { firstSpringId, secondSpringId } of state.job.setUps)
    expect(owned).toEqual(expect.arrayContaining([firstSpringId, secondSpringId]));
});

test('where no job is open nothing is put anywhere', () => {
  const state = { ...desk(), job: null };
  expect(benchSetUp(state, practiceSetUp({ springsId: 'light', stopId: 'long' }))).toBeNull();
});

/** A desk with an open run on the practice engine, its set-up as the bench was when it began. */
function openRun(readings: number) {
  const base = desk();
  const setUpId = benchSetUp(base, practiceSetUp({ springsId: 'heavy', stopId: 'short' }));
  const run = {
    ...madeJob().runs[0]!,
    ...{ id: 'open', setUpId, source: 'practice engine' as const },
    readings: madeJob().runs[0]!.readings.slice(0, readings),
  };
  const state = Object.assign(base, {
    run: run as Run,
    changeRun(_: string, patch: Partial<Run>) {
      state.run = { ...state.run, ...patch };
    },
  });
  return state;
}

test('parts changed on the bench before the first reading are the run’s; after it the run keeps its own', () => {
  const before = openRun(0);
  followBench(before, { springsId: 'light', stopId: 'short' });
  expect(before.job.setUps.find(({ id }) => id === before.run.setUpId)!.springs).toBe('Light pair');
  followBench(before, { springsId: 'light', stopId: 'short' });
  expect(before.job.setUps).toHaveLength(2); // nothing new where nothing changed
  const after = openRun(1);
  followBench(after, { springsId: 'light', stopId: 'short' });
  expect(after.run.setUpId).toBe('s0');
});

test('a set-up that a person chose for a run on the practice engine stays', () => {
  const state = openRun(0);
  const mine = state.addSetUp({ ...practiceSetUp({ springsId: 'heavy', stopId: 'short' }), stopId: null });
  state.run = { ...state.run, setUpId: mine };
  followBench(state, { springsId: 'light', stopId: 'short' });
  expect(state.run.setUpId).toBe(mine);
});
