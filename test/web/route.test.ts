import { expect, test } from 'vitest';
import { placeOf, viewOf } from '../../web/route.svelte';
import { VIEWS } from '../../web/view-list';

test.each(VIEWS)('the address #%s opens that view', (view) => expect(viewOf(`#${view}`)).toBe(view));
test('an address with a slash or capitals still opens its view', () => {
  expect(viewOf('#/run')).toBe('run');
  expect(viewOf('#Result')).toBe('result');
});
test('a place in a view stands after a slash', () => {
  expect(viewOf('#sound/hook-up')).toBe('sound');
  expect(placeOf('#sound/hook-up')).toBe('hook-up');
  expect(placeOf('#sound')).toBeNull();
});
test('an empty or unknown address opens the engine', () => {
  expect(viewOf('')).toBe('engine');
  expect(viewOf('#elsewhere')).toBe('engine');
});
