import { expect, test } from 'vitest';
import { ShownView } from '../../web/shown-view.svelte';
import type { OpenView, ViewName } from '../../web/view-list';

/** Views that come when they are let. */
function slowViews() {
  const waiting = new Map<ViewName, { come: () => void; fail: () => void }>();
  const viewOf = (name: ViewName): OpenView => ({ name, component: () => ({}) });
  const load = (name: ViewName): Promise<OpenView> =>
    new Promise((resolve, reject) => {
      waiting.set(name, {
        come: () => resolve(viewOf(name)),
        fail: () => reject(new TypeError('no network')),
      });
    });
  return { waiting, load, first: viewOf('engine') };
}

test('the view before stays on show until the one asked for has come', async () => {
  const { waiting, load, first } = slowViews();
  const shown = new ShownView(first, load);
  const done = shown.show('run');
  expect(shown.open.name).toBe('engine');
  waiting.get('run')!.come();
  await done;
  expect(shown.open.name).toBe('run');
});

test('a view that comes after another was asked for is not shown', async () => {
  const { waiting, load, first } = slowViews();
  const shown = new ShownView(first, load);
  const both = [shown.show('run'), shown.show('result')];
  waiting.get('result')!.come();
  await both[1];
  waiting.get('run')!.come();
  await both[0];
  expect(shown.open.name).toBe('result');
});

test('a view that cannot be had is said in one sentence with a way on, and the view before stays', async () => {
  const { waiting, load, first } = slowViews();
  const shown = new ShownView(first, load);
  const done = shown.show('log');
  waiting.get('log')!.fail();
  await done;
  expect(shown.open.name).toBe('engine');
  expect(shown.problem?.text).toBe('Log could not be loaded: the place this page came from does not answer.');
  shown.problem?.wayOn?.act();
  waiting.get('log')!.come();
  await expect.poll(() => shown.open.name).toBe('log');
  expect(shown.problem).toBeNull();
});

test('views that cannot be fetched ahead of time are no trouble', async () => {
  const { first } = slowViews();
  const shown = new ShownView(first, () => Promise.reject(new TypeError('no network')));
  await shown.fetchAll();
  expect(shown.problem).toBeNull();
});
