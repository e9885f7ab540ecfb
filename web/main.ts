/** Opens the state and puts the page up; where that fails it says so in plain words. */
import './style/tokens.css';
import './style/base.css';
import './style/parts.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { viewOf } from './route.svelte';
import { openApp } from './state/app';
import { loadView } from './view-list';

const target = document.getElementById('page');
if (!target) throw new RangeError('the page wants an element with the id "page"');

/** Not awaited by this module itself: a view's file imports from this one, and would wait for it for ever. */
async function start(at: HTMLElement): Promise<void> {
  try {
    const [app, first] = await Promise.all([openApp(), loadView(viewOf(location.hash))]);
    mount(App, { target: at, props: { app, first } });
  } catch (error) {
    console.error(error);
    at.setAttribute('role', 'alert');
    at.textContent =
      'Clampline could not start in this browser. Reload the page; if it says this again, try another browser.';
  }
}

void start(target);
