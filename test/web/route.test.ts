import { expect, test } from 'vitest';
import { viewOf } from '../../web/route.svelte';
import { VIEWS } from '../../web/view-list';

test.each(VIEWS)('the address #%s opens that view', (view) => expect(viewOf(`#${view}`)).toBe(view));
test('an address with a slash or capitals still opens its view', () => {
  expect(viewOf('#/run')).toBe('run');
  expect(viewOf('#Result')).toBe('result');
});
test('an empty or unknown address opens the engine', () => {
  expect(viewOf('')).toBe('engine');
  expect(viewOf('#elsewhere')).toBe('engine');
});
