/** The practice engine's set-up in a job: put there once, found again. */
import { expect, test } from 'vitest';
import type { Job, SetUp } from '../../core/job';
import { newJob } from '../../core/new-job';
import { benchSetUp, practiceSetUp } from '../../web/views/run/practice-set-up';

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
