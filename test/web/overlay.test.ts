/** Runs laid over one another: which, and how each is told from the others without its colour. */
import { expect, test } from 'vitest';
import { busyJob } from '../helpers/busy-job';
import { rangesOf } from '../../web/plot/picture';
import { chosenRuns, dashOf, letterOf, overlayPicture, sideOf } from '../../web/views/log/overlay';

const job = busyJob(6, 14);
const latestFirst = job.runs.toReversed();
const idsOf = (runs: readonly { readonly id: string }[]): string[] => runs.map(({ id }) => id);

test('until somebody chooses, the latest run is laid over the one before it', () => {
  expect(idsOf(chosenRuns(latestFirst, null, null))).toEqual(['r4', 'r5']);
  expect(chosenRuns([], null, null)).toEqual([]);
});

test('any number can be laid over any reference, in the order of time, the reference never over itself', () => {
  const all = chosenRuns(latestFirst, 'r2', ['r5', 'r0', 'r2', 'r1', 'r3', 'r4']);
  expect(idsOf(all)).toEqual(['r2', 'r0', 'r1', 'r3', 'r4', 'r5']);
  expect(idsOf(chosenRuns(latestFirst, 'r2', []))).toEqual(['r2']);
  expect(idsOf(chosenRuns(latestFirst, 'gone', null))).toEqual(['r4', 'r5']);
});

test('thirty runs have thirty letters, and runs with neighbouring letters have other dashes', () => {
  const letters = Array.from({ length: 30 }, (_, i) => letterOf(i));
  expect(new Set(letters).size).toBe(30);
  expect([letters[0], letters[25], letters[26]]).toEqual(['A', 'Z', 'A2']);
  expect(dashOf(0)).toEqual([]);
  for (let i = 1; i < 30; i++) {
    expect(dashOf(i).length).toBeGreaterThan(0);
    expect(dashOf(i)).not.toEqual(dashOf(i + 1));
  }
});

test('the picture holds the reference’s readings and every other run’s line, all in sight', () => {
  const runs = chosenRuns(latestFirst, 'r0', ['r1', 'r2', 'r3']);
  const picture = overlayPicture(job, runs, runs.map(sideOf));
  expect(picture.readings).toHaveLength(14);
  expect(picture.overlaid!.map(({ letter }) => letter)).toEqual(['B', 'C', 'D']);
  const { deg } = rangesOf(picture);
  for (const { points } of picture.overlaid!) {
    expect(points.length).toBeGreaterThan(50);
    for (const [, advanceDeg] of points) {
      expect(advanceDeg).toBeGreaterThanOrEqual(deg[0]);
      expect(advanceDeg).toBeLessThanOrEqual(deg[1]);
    }
  }
});
